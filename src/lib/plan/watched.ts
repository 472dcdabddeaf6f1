import type { SamplingRule } from '../race/race.ts';
import { expectedMultiples } from '../stats/expected-multiples.ts';
import type { MinuteCounts } from './passing-field.ts';
import type { Plan, PlannedCheckpoint } from './resolve-plan.ts';
import { dueShare } from './sampling-share.ts';

/** A checkpoint of the plan with the runners who pass it. */
export interface PassedCheckpoint extends PlannedCheckpoint, MinuteCounts {
  readonly runners: number;
  readonly passedMs: Float64Array;
  /** The first fullest minute, counted from `firstMinute`; −1 when nobody passes. */
  readonly peakMinute: number;
}

/** Of the runners who pass, who is classed by eye. */
export interface Watched {
  readonly due: number;
  /** Share of the due runners classed in the fullest minute. */
  readonly atPeak: number | null;
  /** Share of all who pass that is due and classed. */
  readonly share: number | null;
  readonly quarterShare: readonly (number | null)[];
  /** Least quarter share ÷ greatest. */
  readonly evenness: number | null;
}

/** How a checkpoint is watched: the rule, by how many, in packs of what mean size. */
export interface Watching {
  readonly rule: SamplingRule;
  readonly observers: number;
  readonly pack: number;
  readonly arrangement: Plan['arrangement'];
}

/**
 * Chance that a runner of each minute is due and classed: one chance for all runners of that minute.
 *
 * A service without a waiting room: whoever passes while an observer is busy is lost, 1/(1 + E⌊N/J⌋) of the due runners
 * are classed. Observers by turns take every m-th runner more; with own bibs each, they divide the load.
 */
export function chancesByMinute(place: PassedCheckpoint, watching: Watching): Float64Array {
  const due = dueShare(watching.rule);
  const known = new Map<number, number>();
  return Float64Array.from(place.perMinute, (count) => {
    let chance = known.get(count);
    if (chance === undefined) {
      chance = due * classedOfDue(count, place.secondsEach, watching);
      known.set(count, chance);
    }
    return chance;
  });
}

/** Share of the due runners who are classed while `count` runners a minute pass. */
export function classedOfDue(count: number, secondsEach: number, watching: Watching): number {
  const { rule, observers, pack, arrangement } = watching;
  if (observers === 0) return 0;
  const byTurns = arrangement === 'turns';
  const thin = (rule.kind === 'endings' ? dueShare(rule) : 1) / (byTurns ? 1 : observers);
  const every = (rule.kind === 'every' ? rule.k : 1) * (byTurns ? observers : 1);
  const load = ((count * secondsEach) / 60) * thin;
  return 1 / (1 + expectedMultiples(load, every, 1 + (pack - 1) * thin));
}

export function watch(
  place: PassedCheckpoint,
  watching: Watching,
  chances = chancesByMinute(place, watching),
): Watched {
  const due = dueShare(watching.rule);
  if (place.runners === 0) {
    return { due, atPeak: null, share: null, quarterShare: [null, null, null, null], evenness: null };
  }
  const sums = [0, 0, 0, 0];
  for (let cell = 0; cell < place.quarterCounts.length; cell += 1) {
    sums[cell % 4]! += place.quarterCounts[cell]! * chances[cell >> 2]!;
  }
  const quarterShare = sums.map((sum, quarter) => {
    const n = place.quarters[quarter]!;
    return n > 0 ? sum / n : null;
  });
  const share = sums.reduce((total, sum) => total + sum, 0) / place.runners;
  const atPeak = classedOfDue(place.perMinute[place.peakMinute]!, place.secondsEach, watching);
  return { due, atPeak, share, quarterShare, evenness: evennessOf(quarterShare) };
}

function evennessOf(quarterShare: readonly (number | null)[]): number | null {
  const shares = quarterShare.filter((share) => share !== null);
  const greatest = Math.max(...shares);
  return greatest === 0 ? null : Math.min(...shares) / greatest;
}

/** Of those classed by eye, the share whose bib was read, whose feet were seen and who did not walk. */
export function readShare({ bibRead, feetSeen, walking }: PlannedCheckpoint): number {
  return bibRead * feetSeen * (1 - walking);
}

/** How many runners are expected to be classified: with a bib and a class. */
export function classifiedAt(place: PassedCheckpoint, { share }: Watched): number {
  return share === null ? 0 : place.runners * share * readShare(place);
}
