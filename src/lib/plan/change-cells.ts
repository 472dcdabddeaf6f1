/** The assumed change between early and late, as the literature prints it. */
export interface ShiftAssumption {
  /** Share of runners who land rearfoot early. */
  readonly rearfootEarly: number;
  /** Share of runners who change, either way. */
  readonly changed: number;
  /** Of those who change, the share that changes to rearfoot. */
  readonly toRearfoot: number;
}

/** Shares of all runners: the four cells of early by late, and the margins. */
export interface ChangeCells {
  readonly rearfootEarly: number;
  readonly rearfootLate: number;
  readonly gained: number;
  readonly lost: number;
  /** Rearfoot at both, and at neither. */
  readonly both: number;
  readonly neither: number;
}

export function changeCells({ rearfootEarly, changed, toRearfoot }: ShiftAssumption): ChangeCells {
  const gained = changed * toRearfoot;
  const lost = Math.max(0, changed - gained);
  return {
    rearfootEarly,
    rearfootLate: rearfootEarly + gained - lost,
    gained,
    lost,
    // The schema lets the last digits pass: no share may come out below 0 by them.
    both: Math.max(0, rearfootEarly - lost),
    neither: Math.max(0, 1 - rearfootEarly - gained),
  };
}

/**
 * The change that eyes see which err: M′TM, T the true table and M the chances of seeing a class as another. The
 * difference shrinks by sensitivity + specificity − 1, and errors add changes of their own.
 *
 * @param sensitivity share of rearfoot landings seen as such
 * @param specificity share of the others seen as such
 */
export function seenChange(
  { both, gained, lost, neither }: ChangeCells,
  sensitivity: number,
  specificity: number,
): { gained: number; lost: number } {
  const se = sensitivity;
  const sp = specificity;
  return {
    gained: both * (1 - se) * se + gained * sp * se + lost * (1 - se) * (1 - sp) + neither * sp * (1 - sp),
    lost: both * se * (1 - se) + gained * (1 - sp) * (1 - se) + lost * se * sp + neither * (1 - sp) * sp,
  };
}
