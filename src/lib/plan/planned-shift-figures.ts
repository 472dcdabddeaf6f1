import { mcnemarPairsNeeded, type McnemarPairsNeeded } from '../stats/paired/mcnemar-pairs-needed.ts';
import { mcnemarPower } from '../stats/paired/mcnemar-power.ts';
import { mcnemarSmallestDifference } from '../stats/paired/mcnemar-smallest-difference.ts';
import { separateSamplesPower, type SeparateSamplesPower } from '../stats/contingency/separate-samples-power.ts';
import { changeCells, seenChange } from './change-cells.ts';
import type { Plan } from './resolve-plan.ts';

interface TwoTests {
  readonly exact: number | null;
  readonly midP: number | null;
}

/** What McNemar's test makes of a change. */
export interface ChangeFigures {
  /** Shares of runners: all who change, those who gain minus those who lose, and either. */
  readonly changed: number;
  readonly difference: number;
  readonly gained: number;
  readonly lost: number;
  readonly power: TwoTests;
  readonly needed: McnemarPairsNeeded;
}

export interface PlannedShiftFigures extends ChangeFigures {
  readonly pairs: number;
  readonly smallestShift: TwoTests;
  /** The same for what eyes that err see at both. */
  readonly throughEyes: ChangeFigures;
}

/** Whole pairs of an expected number: what lacks 1e-9 of a whole is whole. */
export const wholeOf = (expected: number): number => Math.floor(expected + 1e-9);

export function plannedShiftFigures(plan: Plan, pairs: number): PlannedShiftFigures {
  const cells = changeCells(plan.shift);
  const { sensitivity, specificity } = plan.validation;
  const { changed } = plan.shift;
  const alpha = 1 - plan.level;
  const smallest = (variant: 'exact' | 'midP'): number | null =>
    mcnemarSmallestDifference(pairs, changed, alpha, plan.power, variant);
  return {
    pairs,
    ...changeFigures(plan, pairs, cells),
    smallestShift: { exact: smallest('exact'), midP: smallest('midP') },
    throughEyes: changeFigures(plan, pairs, seenChange(cells, sensitivity, specificity)),
  };
}

export function changeFigures(
  plan: Plan,
  pairs: number,
  { gained, lost }: { readonly gained: number; readonly lost: number },
): ChangeFigures {
  const alpha = 1 - plan.level;
  const changed = Math.min(1, Math.max(0, gained + lost));
  const gainedOfChanged = changed === 0 ? 0.5 : Math.min(1, gained / changed);
  const change = { changed, gainedOfChanged };
  const power = (variant: 'exact' | 'midP'): number | null =>
    pairs === 0 ? null : mcnemarPower(pairs, change, alpha, variant);
  return {
    ...{ changed, difference: gained - lost, gained, lost },
    power: { exact: power('exact'), midP: power('midP') },
    needed: mcnemarPairsNeeded(change, alpha, plan.power),
  };
}

export interface SeparateFigures {
  readonly early: number;
  readonly late: number;
  readonly rearfoot: SeparateSamplesPower;
  readonly classes: SeparateSamplesPower | null;
}

/** Were the runners at the two checkpoints two separate samples. The same runners at both are not: then McNemar's test. */
export function separateFigures(plan: Plan, early: number, late: number): SeparateFigures {
  const { rearfootEarly, rearfootLate } = changeCells(plan.shift);
  const sizes = [early, late] as const;
  const alpha = 1 - plan.level;
  const parts = (shares: readonly number[]): number[] => {
    const total = shares.reduce((sum, share) => sum + share, 0);
    return shares.map((share) => share / total);
  };
  const rearfoot = [
    [rearfootEarly, Math.max(0, 1 - rearfootEarly)],
    [rearfootLate, Math.max(0, 1 - rearfootLate)],
  ] as const;
  const { classes } = plan;
  return {
    ...{ early, late },
    rearfoot: separateSamplesPower(sizes, rearfoot, alpha, plan.power),
    classes: classes && separateSamplesPower(sizes, [parts(classes.early), parts(classes.late)], alpha, plan.power),
  };
}
