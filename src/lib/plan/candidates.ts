import type { SamplingRule } from '../race/race.ts';
import { candidateRules } from './candidate-rules.ts';
import { expectedPairs, type MinutePairs } from './expected-pairs.ts';
import type { Plan } from './resolve-plan.ts';
import { plannedRule, type PlannedRule } from './sampling-share.ts';
import { chancesByMinute, classedOfDue, classifiedAt, watch, type PassedCheckpoint, type Watching } from './watched.ts';

/** One rule weighed: a figure for each checkpoint by km, and the pairs. */
export interface RuleCandidate {
  readonly rule: PlannedRule;
  readonly atPeak: readonly (number | null)[];
  readonly classified: readonly number[];
  readonly evenness: readonly (number | null)[];
  readonly pairs: number | null;
}

/** The places of a race, and where the two compared ones stand among them. */
export interface Course {
  readonly places: readonly PassedCheckpoint[];
  readonly early: number;
  readonly late: number;
  /** `null` with one checkpoint. */
  readonly minutePairs: MinutePairs | null;
}

/** Pairs closer than this are a tie: the earlier rule, which asks less, stands. */
const TIE = 1 - 1e-12;
const MOST_K = 100;

/** How a place is watched under a rule, all else as planned. */
export const watchingAs = (plan: Plan, rule: SamplingRule, { observers }: PassedCheckpoint): Watching => ({
  ...{ rule, observers },
  ...{ pack: plan.pack, arrangement: plan.arrangement },
});

export function weigh(plan: Plan, { places, early, late, minutePairs }: Course, rule: SamplingRule): RuleCandidate {
  const chances = places.map((place) => chancesByMinute(place, watchingAs(plan, rule, place)));
  const watched = places.map((place, i) => watch(place, watchingAs(plan, rule, place), chances[i]));
  return {
    rule: plannedRule(rule),
    atPeak: watched.map(({ atPeak }) => atPeak),
    classified: watched.map((seen, i) => classifiedAt(places[i]!, seen)),
    evenness: watched.map(({ evenness }) => evenness),
    pairs:
      minutePairs &&
      expectedPairs(minutePairs, [places[early]!, places[late]!], [chances[early]!, chances[late]!], rule),
  };
}

export function weighAll(plan: Plan, course: Course): RuleCandidate[] {
  return candidateRules().map((rule) => weigh(plan, course, rule));
}

/** The rule with the most expected pairs; `null` without pairs. */
export function ruleForShift(candidates: readonly RuleCandidate[]): SamplingRule | null {
  const most = Math.max(...candidates.map(({ pairs }) => pairs ?? 0));
  if (most === 0) return null;
  return candidateRules()[candidates.findIndex(({ pairs }) => pairs !== null && pairs >= most * TIE)]!;
}

/** Every k-th with the smallest k, 1 being everyone, that keeps up in the fullest minute of every checkpoint. */
export function ruleForShare(plan: Plan, places: readonly PassedCheckpoint[]): SamplingRule | null {
  const passed = places.filter(({ runners }) => runners > 0);
  for (let k = 1; k <= MOST_K; k += 1) {
    const rule: SamplingRule = k === 1 ? { kind: 'everyone' } : { kind: 'every', k };
    const keepsUp = (place: PassedCheckpoint): boolean =>
      classedOfDue(place.perMinute[place.peakMinute]!, place.secondsEach, watchingAs(plan, rule, place)) >= plan.keep;
    if (passed.every(keepsUp)) return rule;
  }
  return null;
}

/** The rule to go by: the plan's own, else the one recommended for its aim, else everyone. */
export function chooseRule(plan: Plan, course: Course, candidates: readonly RuleCandidate[]) {
  const forShift = course.minutePairs ? ruleForShift(candidates) : null;
  const forShare = ruleForShare(plan, course.places);
  const recommended = plan.aim === 'shift' ? forShift : forShare;
  const from = plan.rule ? ('given' as const) : recommended ? ('recommended' as const) : ('none' as const);
  const rule: SamplingRule = plan.rule ?? recommended ?? { kind: 'everyone' };
  return { rule, from, forShift, forShare };
}
