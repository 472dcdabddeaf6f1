import type { SamplingRule } from '../race/race.ts';
import { dueShare } from './sampling-share.ts';
import { readShare, type PassedCheckpoint } from './watched.ts';

/** Runners by their minutes at two checkpoints: those who share both stand together. */
export interface MinutePairs {
  readonly early: Int32Array;
  readonly late: Int32Array;
  readonly runners: Int32Array;
}

/**
 * Runner i of those who pass late is the one at the same place of the field early. Neighbours mostly share both minutes,
 * so that a field of 40,000 comes down to some hundreds of runs, which every rule is then weighed by.
 */
export function minutePairs(early: PassedCheckpoint, late: PassedCheckpoint): MinutePairs {
  const runs: { early: number; late: number; runners: number }[] = [];
  for (let i = 0; i < late.runners; i += 1) {
    const j = Math.floor(((2 * i + 1) * early.runners) / (2 * late.runners));
    const at = { early: early.minuteOf[j]!, late: late.minuteOf[i]! };
    const last = runs.at(-1);
    if (last?.early === at.early && last.late === at.late) last.runners += 1;
    else runs.push({ ...at, runners: 1 });
  }
  return {
    early: Int32Array.from(runs, (run) => run.early),
    late: Int32Array.from(runs, (run) => run.late),
    runners: Int32Array.from(runs, (run) => run.runners),
  };
}

/**
 * Runners expected to be classified at both. The chances at the two are independent, save that under endings the same
 * runners are due at both.
 *
 * @param chances by minute at either checkpoint, as `chancesByMinute` gives them
 */
export function expectedPairs(
  pairs: MinutePairs,
  [early, late]: readonly [PassedCheckpoint, PassedCheckpoint],
  [earlyChances, lateChances]: readonly [Float64Array, Float64Array],
  rule: SamplingRule,
): number {
  let sum = 0;
  for (let run = 0; run < pairs.runners.length; run += 1) {
    sum += pairs.runners[run]! * earlyChances[pairs.early[run]!]! * lateChances[pairs.late[run]!]!;
  }
  return (sum * readShare(early) * readShare(late)) / (rule.kind === 'endings' ? dueShare(rule) : 1);
}
