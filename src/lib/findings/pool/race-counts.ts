import type { PooledRace } from './pooled.ts';

/** All that pooling needs of one race. No figure of a single runner is among it. */
export interface RaceCounts extends PooledRace {
  /** `null` with one checkpoint, or where the race has no estimate. */
  readonly trend: { readonly coefficient: number; readonly se: number } | null;
  /** Observers at both checkpoints; `null` with one checkpoint, or where it is not known. */
  readonly commonObservers: number | null;
  /** Name and date of the race itself, where they are known: two names may stand for one race. */
  readonly identity: string | null;
}

/** The parts of a race's findings that are read; everything else may be missing. */
export interface FindingsRead {
  readonly about?: { readonly race?: { readonly name: string; readonly date: string } | undefined } | undefined;
  readonly shares: readonly {
    readonly checkpoint: string;
    readonly km: number;
    readonly classified: number;
    readonly classes: { readonly rearfoot: { readonly count: number } };
  }[];
  readonly shift: {
    readonly early: string;
    readonly late: string;
    readonly paired: number;
    readonly commonObservers?: number | undefined;
    readonly rearfoot: { readonly gained: number; readonly lost: number };
    readonly trend: { readonly coefficient: number | null; readonly se: number | null };
  } | null;
}

/** The counts of a race. The findings have a checkpoint, and those that the shift names; else a RangeError. */
export function raceCountsOf(race: string, { about, shares, shift }: FindingsRead): RaceCounts {
  const at = (name: string) => shares.find(({ checkpoint }) => checkpoint === name);
  const early = shift ? at(shift.early) : shares[0];
  const late = shift ? at(shift.late) : undefined;
  if (!early || (shift && !late)) throw new RangeError(`the findings of "${race}" lack a checkpoint`);
  const { coefficient = null, se = null } = shift?.trend ?? {};
  return {
    race,
    early: early.checkpoint,
    earlyKm: early.km,
    late: late?.checkpoint ?? null,
    lateKm: late?.km ?? null,
    classified: early.classified,
    rearfoot: early.classes.rearfoot.count,
    paired: shift?.paired ?? null,
    gained: shift?.rearfoot.gained ?? null,
    lost: shift?.rearfoot.lost ?? null,
    // Without an error, or with none that a double can square, there is nothing to weigh by.
    trend: coefficient === null || se === null || !(se * se > 0) ? null : { coefficient, se },
    commonObservers: shift?.commonObservers ?? null,
    identity: about?.race ? raceIdentity(about.race) : null,
  };
}

export const raceIdentity = ({ name, date }: { readonly name: string; readonly date: string }): string =>
  `${name}, ${date}`;
