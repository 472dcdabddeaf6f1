import { RUNNER_CLASSES } from '../../../records/foot.ts';
import { REARFOOT, type SingleFootRule } from '../../../sightings/runner-classes.ts';
import { CLIP, methodOf } from '../../../sightings/seen.ts';
import {
  doubleSamplingDifference,
  type AlikeUnits,
} from '../../../stats/misclassification/double-sampling-difference.ts';
import {
  doubleSampling,
  type DoubleSamplingResult,
  type ReadingStratum,
} from '../../../stats/misclassification/double-sampling.ts';
import { newcombePairedInterval } from '../../../stats/paired/newcombe-paired-interval.ts';
import { recordBy } from '../../record-by.ts';
import type { ResolvedRace } from '../../resolved-race.ts';
import type { CorrectedChange, ValidatedCheckpoint, ValidatedDifference, Validation } from './corrected.ts';
import { CLIP_UNCLEAR, NO_CLIP, seenTwice, type SeenTwice } from './seen-twice.ts';

/** With fewer validated runners than this in one of them, the classes other than rearfoot are taken together. */
const LEAST_IN_STRATUM = 5;
const CLASSES = RUNNER_CLASSES.length;

const noTable = (): number[][] => RUNNER_CLASSES.map(() => new Array<number>(CLASSES).fill(0));
const sum = (counts: readonly number[]): number => counts.reduce((total, count) => total + count, 0);

/** Live runners by live class, and of those validated the table live × clip. */
interface TwoReadings {
  readonly live: number[];
  readonly table: number[][];
}

interface Estimate {
  readonly pooled: boolean;
  readonly found: DoubleSamplingResult;
  /** Validated runners in the stratum that has the fewest. */
  readonly fewest: number;
  stratumOf(live: number): number;
}

/** Double sampling with the live classes as strata; those other than rearfoot as one where a class has too few validated. */
function estimateOf({ live, table }: TwoReadings, level: number): Estimate | null {
  const validated = table.map(sum);
  const pooled = live.some((count, j) => j !== REARFOOT && count > 0 && validated[j]! < LEAST_IN_STRATUM);
  const apart = live.map((sampled, j): ReadingStratum => ({ sampled, truth: table[j]! }));
  const others = apart.filter((_, j) => j !== REARFOOT);
  const together: ReadingStratum = {
    sampled: sum(others.map(({ sampled }) => sampled)),
    truth: RUNNER_CLASSES.map((_, i) => sum(others.map(({ truth }) => truth[i]!))),
  };
  const strata = pooled ? [apart[REARFOOT]!, together] : apart;
  const found = doubleSampling(strata, level);
  const fewest = Math.min(...strata.filter(({ sampled }) => sampled > 0).map(({ truth }) => sum(truth)));
  return found && { pooled, found, fewest, stratumOf: (j) => (pooled && j !== REARFOOT ? 1 : j) };
}

function checkpointOf(runners: SeenTwice, place: number, level: number) {
  const live = new Array<number>(CLASSES).fill(0);
  const table = noTable();
  let clipUnclear = 0;
  for (let i = 0; i < runners.size; i += 1) {
    if (runners.checkpoint[i] !== place) continue;
    live[runners.live[i]!]! += 1;
    const clip = runners.clip[i]!;
    if (clip === CLIP_UNCLEAR) clipUnclear += 1;
    else if (clip !== NO_CLIP) table[runners.live[i]!]![clip]! += 1;
  }
  const total = sum(live);
  const estimate = estimateOf({ live, table }, level);
  return {
    ...{ live: total, validated: sum(table.flat()), clipUnclear, clipOnly: runners.clipOnly[place]!, table },
    pooled: estimate && estimate.pooled,
    classes: recordBy(RUNNER_CLASSES, (_, i) => ({
      observed: total > 0 ? live[i]! / total : null,
      ...(estimate?.found.shares[i] ?? { share: null, se: null, low: null, high: null }),
    })),
  };
}

/** The entry of a bib at a checkpoint, or −1. */
function entryAt(runners: SeenTwice, bib: number, checkpoint: number): number {
  for (let i = runners.first[bib]!; i < runners.first[bib + 1]!; i += 1) {
    if (runners.checkpoint[i] === checkpoint) return i;
  }
  return -1;
}

/** Class by clip, or none: a clip that shows no class validates nothing. */
interface Reading {
  readonly live: number;
  readonly clip: number | null;
}

interface AlikePairs {
  count: number;
  readonly early: Reading;
  readonly late: Reading;
}

/** The runners with a live class at both checkpoints, counted by what they are alike in: at most 400 kinds. */
function pairsOf(runners: SeenTwice, bibs: number, early: number, late: number): AlikePairs[] {
  const kinds = new Map<number, AlikePairs>();
  const readingAt = (entry: number): Reading => {
    const clip = runners.clip[entry]!;
    return { live: runners.live[entry]!, clip: clip < 0 ? null : clip };
  };
  const codeOf = ({ live, clip }: Reading): number => live * (CLASSES + 1) + (clip ?? CLASSES);
  for (let bib = 0; bib < bibs; bib += 1) {
    const before = entryAt(runners, bib, early);
    const after = before < 0 ? -1 : entryAt(runners, bib, late);
    if (after < 0) continue;
    const pair = { early: readingAt(before), late: readingAt(after) };
    const code = codeOf(pair.early) * CLASSES * (CLASSES + 1) + codeOf(pair.late);
    const kind = kinds.get(code);
    if (kind) kind.count += 1;
    else kinds.set(code, { count: 1, ...pair });
  }
  return [...kinds].sort(([a], [b]) => a - b).map(([, kind]) => kind);
}

function readingsOf(pairs: readonly AlikePairs[], when: 'early' | 'late'): TwoReadings {
  const live = new Array<number>(CLASSES).fill(0);
  const table = noTable();
  for (const pair of pairs) {
    const reading = pair[when];
    live[reading.live]! += pair.count;
    if (reading.clip !== null) table[reading.live]![reading.clip]! += pair.count;
  }
  return { live, table };
}

const NO_CHANGE: CorrectedChange = { early: null, late: null, difference: null, se: null, low: null, high: null };

interface ChangeFound {
  readonly change: CorrectedChange;
  readonly fewest: number | null;
}

function correctedChange(pairs: readonly AlikePairs[], level: number): ChangeFound {
  const before = estimateOf(readingsOf(pairs, 'early'), level);
  const after = estimateOf(readingsOf(pairs, 'late'), level);
  if (!before || !after) return { change: NO_CHANGE, fewest: null };
  const units = pairs.map(({ count, early, late }): AlikeUnits => ({
    count,
    first: { stratum: before.stratumOf(early.live), truth: early.clip },
    second: { stratum: after.stratumOf(late.live), truth: late.clip },
  }));
  const { first, second, difference, se, low, high } = doubleSamplingDifference(
    before.found,
    after.found,
    units,
    REARFOOT,
  );
  return {
    change: { early: first, late: second, difference, se, low, high },
    fewest: Math.min(before.fewest, after.fewest),
  };
}

function differenceOf(
  pairs: readonly AlikePairs[],
  names: { early: string; late: string },
  corrected: CorrectedChange,
  level: number,
): ValidatedDifference {
  const countOf = (is: (pair: AlikePairs) => boolean): number => sum(pairs.filter(is).map(({ count }) => count));
  const rearfoot = ({ live }: Reading): boolean => live === REARFOOT;
  const observed = newcombePairedInterval(
    {
      both: countOf(({ early, late }) => rearfoot(early) && rearfoot(late)),
      gained: countOf(({ early, late }) => !rearfoot(early) && rearfoot(late)),
      lost: countOf(({ early, late }) => rearfoot(early) && !rearfoot(late)),
      neither: countOf(({ early, late }) => !rearfoot(early) && !rearfoot(late)),
    },
    level,
  );
  return {
    ...names,
    paired: countOf(() => true),
    validatedEarly: countOf(({ early }) => early.clip !== null),
    validatedLate: countOf(({ late }) => late.clip !== null),
    validatedBoth: countOf(({ early, late }) => early.clip !== null && late.clip !== null),
    observed: {
      early: observed.first,
      late: observed.second,
      difference: observed.difference,
      low: observed.low,
      high: observed.high,
    },
    corrected,
  };
}

export interface FoundValidation {
  readonly validation: Validation;
  /** Validated runners in the smallest stratum of the paired runners; `null` where the difference has no estimate. */
  readonly fewestInPairs: number | null;
}

/**
 * Shares and difference by double sampling: all runners read live, some of them on clip, the clip taken for the truth.
 * `early` and `late` are places in the table's checkpoints, the same with a single one. `null` when nobody has a class by both.
 */
export function validationOf(
  race: ResolvedRace,
  early: number,
  late: number,
  level: number,
  singleFoot: SingleFootRule,
): FoundValidation | null {
  const { table } = race;
  if (!race.used.seen.some((seen) => methodOf(seen) === CLIP)) return null;
  const runners = seenTwice(race, singleFoot);
  const checkpoints = table.checkpoints.map(({ name, km }, place): ValidatedCheckpoint => ({
    checkpoint: name,
    km,
    ...checkpointOf(runners, place, level),
  }));
  if (checkpoints.every(({ validated }) => validated === 0)) return null;
  if (early === late) return { validation: { checkpoints, difference: null }, fewestInPairs: null };
  const names = { early: table.checkpoints[early]!.name, late: table.checkpoints[late]!.name };
  const pairs = pairsOf(runners, table.bibs.length, early, late);
  const { change, fewest } = correctedChange(pairs, level);
  const difference = differenceOf(pairs, names, change, level);
  return { validation: { checkpoints, difference }, fewestInPairs: fewest };
}
