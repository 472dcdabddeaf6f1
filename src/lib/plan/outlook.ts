import type { SamplingRule } from '../race/race.ts';
import { mcnemarPower } from '../stats/paired/mcnemar-power.ts';
import { wilsonIntervalOfExpected } from '../stats/proportions/wilson-interval.ts';
import { candidateRules } from './candidate-rules.ts';
import { chooseRule, ruleForShare, watchingAs, weigh, type RuleCandidate, type Course } from './candidates.ts';
import { changeCells, seenChange } from './change-cells.ts';
import type { LaidCourse } from './lay-course.ts';
import type { Plan } from './resolve-plan.ts';
import type { PlannedRule } from './sampling-share.ts';
import { wholeOf } from './planned-shift-figures.ts';
import { chancesByMinute, type PassedCheckpoint } from './watched.ts';

/** What the race would show in one arrangement. */
export interface Prospect {
  readonly rule: PlannedRule;
  /** Expected to be classified, by checkpoint in order of km. */
  readonly classified: readonly number[];
  readonly pairs: number | null;
  /** In what share of such races the assumed shift would be noticed, through eyes that err; `null` without pairs. */
  readonly noticed: number | null;
  /** Half the width of the interval of the rearfoot share early. */
  readonly halfWidth: number | null;
}

/** What else could be done with more people, or by another rule. */
export interface Outlook {
  readonly now: Prospect;
  /** One more observer at one place, the rest as planned; the rule chosen anew where the plan leaves it open. */
  readonly oneMore: readonly (Prospect & { readonly checkpoint: string })[];
  /** So many observers at each of the compared places. */
  readonly byObservers: readonly (Prospect & { readonly observers: number })[];
  readonly byRule: readonly Prospect[];
  /** Runners classed by eye in each minute from the first passing on, by checkpoint in order of km. */
  readonly classedPerMinute: readonly (readonly number[])[];
}

const MOST_OBSERVERS = 6;

/** @param candidates as the figures of this course weigh them */
export function outlookOf({ plan, course }: LaidCourse, candidates: readonly RuleCandidate[]): Outlook {
  const { places, early, late } = course;
  const compared = [...new Set([early, late])];
  const withObservers = (observers: (place: PassedCheckpoint, i: number) => number): Prospect =>
    prospectOf(plan, { ...course, places: places.map((place, i) => ({ ...place, observers: observers(place, i) })) });
  const { rule } = chooseRule(plan, course, candidates);
  return {
    now: prospectUnder(plan, course, rule),
    oneMore: compared.map((one) => ({
      checkpoint: places[one]!.name,
      ...withObservers((place, i) => place.observers + (i === one ? 1 : 0)),
    })),
    byObservers: Array.from({ length: MOST_OBSERVERS }, (_, m) => ({
      observers: m + 1,
      ...withObservers((place, i) => (compared.includes(i) ? m + 1 : place.observers)),
    })),
    byRule: candidates.map((candidate) => prospectOfCandidate(plan, course, candidate)),
    classedPerMinute: places.map((place) => {
      const chances = chancesByMinute(place, watchingAs(plan, rule, place));
      return Array.from(place.perMinute, (count, minute) => (count > 0 ? count * chances[minute]! : 0));
    }),
  };
}

/**
 * *Every k-th* is not asked again: under endings of the same share the same runners are due at both places, and more of
 * them are met twice. It is also what would take longest, many times over.
 */
function prospectOf(plan: Plan, course: Course): Prospect {
  if (plan.rule) return prospectUnder(plan, course, plan.rule);
  if (plan.aim === 'share') return prospectUnder(plan, course, ruleForShare(plan, course.places) ?? EVERYONE);
  const rules = candidateRules().filter(({ kind }) => kind !== 'every');
  const weighed = rules.map((rule) => weigh(plan, course, rule));
  const best = weighed.reduce((one, other) => ((other.pairs ?? 0) > (one.pairs ?? 0) * (1 + 1e-12) ? other : one));
  return prospectOfCandidate(plan, course, best);
}

const EVERYONE: SamplingRule = { kind: 'everyone' };

function prospectUnder(plan: Plan, course: Course, rule: SamplingRule): Prospect {
  return prospectOfCandidate(plan, course, weigh(plan, course, rule));
}

function prospectOfCandidate(plan: Plan, course: Course, { rule, classified, pairs }: RuleCandidate): Prospect {
  return {
    rule,
    ...{ classified, pairs },
    noticed: noticedWith(plan, pairs),
    halfWidth: halfWidthOf(plan, classified[course.early]!),
  };
}

function noticedWith({ shift, validation, level }: Plan, pairs: RuleCandidate['pairs']): number | null {
  const whole = pairs === null ? 0 : wholeOf(pairs);
  if (whole === 0) return null;
  const { gained, lost } = seenChange(changeCells(shift), validation.sensitivity, validation.specificity);
  const changed = Math.min(1, gained + lost);
  const gainedOfChanged = changed === 0 ? 0.5 : Math.min(1, gained / changed);
  return mcnemarPower(whole, { changed, gainedOfChanged }, 1 - level, 'exact');
}

function halfWidthOf({ shift, level }: Plan, classified: number): number | null {
  const n = wholeOf(classified);
  const { low, high } = wilsonIntervalOfExpected(shift.rearfootEarly * n, n, level);
  return low === null || high === null ? null : (high - low) / 2;
}
