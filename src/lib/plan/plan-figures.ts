import { succeeded, type Attempt } from '../records/attempt.ts';
import { agreementUnitsNeeded } from '../stats/agreement/agreement-units-needed.ts';
import { doubleSamplingPlan } from '../stats/misclassification/double-sampling-plan.ts';
import { newcombePairedIntervalOfExpected } from '../stats/paired/newcombe-paired-interval.ts';
import { quantileType7 } from '../stats/samples/quantile-type7.ts';
import { finiteOrNull } from '../stats/finite-or-null.ts';
import { roundUp } from '../stats/round-up.ts';
import { wilsonIntervalOfExpected } from '../stats/proportions/wilson-interval.ts';
import { chooseRule, weigh, weighAll, type RuleCandidate } from './candidates.ts';
import { capacityAt, type Capacity } from './capacity.ts';
import { changeCells } from './change-cells.ts';
import { layCourse, type LaidCourse, type LineFault } from './lay-course.ts';
import { planNotes } from './plan-notes.ts';
import type { GivenPlan } from './plan-schema.ts';
import type { Plan } from './resolve-plan.ts';
import { plannedRule, type PlannedRule } from './sampling-share.ts';
import {
  separateFigures,
  plannedShiftFigures,
  wholeOf,
  type SeparateFigures,
  type PlannedShiftFigures,
} from './planned-shift-figures.ts';
import type { PassedCheckpoint } from './watched.ts';

/** All that `kerbside plan` prints. Shares 0 to 1, times in seconds unless named otherwise; `null` where undefined. */
export interface PlanFigures {
  readonly inputs: {
    readonly source: 'lognormal' | 'results';
    readonly finishers: number | null;
    readonly median: number;
    readonly spread: number | null;
    readonly early: string;
    readonly late: string | null;
    readonly assumed: readonly string[];
  };
  readonly flow: readonly Flow[];
  readonly candidates: readonly RuleCandidate[];
  readonly recommended: { readonly shift: PlannedRule | null; readonly share: PlannedRule | null };
  readonly rule: { readonly from: 'given' | 'recommended' | 'none' } & PlannedRule;
  readonly capacity: readonly Capacity[];
  readonly expected: {
    readonly checkpoints: readonly ExpectedAt[];
    readonly pairs: number | null;
  };
  readonly bias: readonly Bias[] | null;
  readonly precision: { readonly shares: readonly PlannedShare[]; readonly difference: PlannedDifference | null };
  readonly shift: PlannedShiftFigures | null;
  readonly separate: SeparateFigures | null;
  readonly agreement: PlannedAgreement;
  readonly validation: PlannedValidation;
  readonly notes: readonly string[];
}

export interface Flow {
  readonly checkpoint: string;
  readonly km: number;
  readonly passing: number;
  readonly peak: { readonly minute: number | null; readonly count: number };
  /** 0.6·N/km, common practice; higher than the flow before the finish. */
  readonly ruleOfThumb: number | null;
  readonly firstMinute: number | null;
  readonly perMinute: readonly number[];
  readonly quarters: readonly number[];
}

export interface ExpectedAt {
  readonly checkpoint: string;
  readonly due: number;
  readonly watched: number;
  readonly classified: number;
}

export interface Bias {
  readonly checkpoint: string;
  /** Rearfoot share of all who pass, and of those classed. */
  readonly field: number | null;
  readonly expected: number | null;
  readonly bias: number | null;
}

export interface PlannedShare {
  readonly checkpoint: string;
  readonly n: number;
  readonly share: number;
  readonly low: number | null;
  readonly high: number | null;
  readonly halfWidth: number | null;
}

export interface PlannedDifference {
  readonly n: number;
  readonly difference: number;
  readonly low: number | null;
  readonly high: number | null;
  readonly width: number | null;
}

export interface PlannedAgreement {
  readonly agreement: number;
  readonly kappa: number;
  /** Feet classed by two, and the runners they belong to. */
  readonly units: number | null;
  readonly runners: number | null;
  readonly ac1: { readonly estimate: number | null; readonly units: number | null };
}

export interface PlannedValidation {
  readonly raw: number;
  readonly reliability: number;
  readonly costRatio: number | null;
  readonly optimalFraction: number | null;
  readonly runners: number;
  readonly clips: number | null;
  readonly atOptimal: { readonly clips: number | null; readonly halfWidth: number | null };
  readonly free: { readonly runners: number | null; readonly clips: number | null; readonly seconds: number | null };
}

/**
 * What a race can show, before it starts. Nothing is random: the same plan gives the same figures.
 *
 * @param given a plan that `readPlan` passed
 * @param finishes last year's finish times in seconds, rising, at least one; `null` without
 */
export function planFigures(given: GivenPlan, finishes: ArrayLike<number> | null): Attempt<PlanFigures, LineFault> {
  const laid = layCourse(given, finishes);
  return laid.ok ? succeeded(figuresOfCourse(laid.value)) : laid;
}

export function figuresOfCourse({ plan, assumed, course, finishes }: LaidCourse): PlanFigures {
  const { places, early, late } = course;
  const two = early !== late;
  const candidates = weighAll(plan, course);
  const { rule, from, forShift, forShare } = chooseRule(plan, course, candidates);
  const capacity = places.map((place) => capacityAt(plan, place, rule, finishes !== null));
  const { classified, pairs } = weigh(plan, course, rule);
  const nEarly = wholeOf(classified[early]!);
  const nLate = wholeOf(classified[late]!);
  const figures: Omit<PlanFigures, 'notes'> = {
    inputs: {
      source: finishes ? 'results' : 'lognormal',
      finishers: finishes ? finishes.length : null,
      median: finishes ? quantileType7(finishes, 0.5)! : plan.field.median!,
      spread: plan.field.spread,
      ...{ early: plan.early, late: two ? plan.late : null, assumed },
    },
    flow: places.map(flowAt),
    candidates,
    recommended: { shift: forShift && plannedRule(forShift), share: forShare && plannedRule(forShare) },
    rule: { from, ...plannedRule(rule) },
    capacity,
    expected: {
      checkpoints: places.map((place, i) => expectedAt(place, capacity[i]!, classified[i]!)),
      pairs,
    },
    bias: plan.quarterRearfoot && places.map((place, i) => biasAt(place, capacity[i]!, plan.quarterRearfoot!)),
    precision: precisionOf(plan, nEarly, pairs === null ? null : { nLate, pairs: wholeOf(pairs) }),
    shift: pairs === null ? null : plannedShiftFigures(plan, wholeOf(pairs)),
    separate: two ? separateFigures(plan, nEarly, nLate) : null,
    agreement: agreementOf(plan),
    validation: validationOf(plan, nEarly, places[early]!.secondsEach),
  };
  return { ...figures, notes: planNotes(plan, figures) };
}

function flowAt(place: PassedCheckpoint): Flow {
  const { name, km, runners, firstMinute, peakMinute } = place;
  const perMinute = Array.from(place.perMinute);
  return {
    ...{ checkpoint: name, km, passing: runners },
    peak: {
      minute: firstMinute === null ? null : firstMinute + peakMinute,
      count: firstMinute === null ? 0 : perMinute[peakMinute]!,
    },
    ruleOfThumb: finiteOrNull((0.6 * runners) / km),
    ...{ firstMinute, perMinute, quarters: place.quarters },
  };
}

function expectedAt({ name, runners }: PassedCheckpoint, { rule }: Capacity, classified: number): ExpectedAt {
  const watched = rule.share === null ? 0 : runners * rule.share;
  return { checkpoint: name, due: runners * rule.due, watched, classified };
}

/** What uneven quarters alone do to a raw share. */
function biasAt({ name, quarters }: PassedCheckpoint, { rule }: Capacity, rearfoot: readonly number[]): Bias {
  const weighted = (weights: readonly number[]): number | null => {
    const total = weights.reduce((sum, weight) => sum + weight, 0);
    return total > 0 ? weights.reduce((sum, weight, i) => sum + weight * rearfoot[i]!, 0) / total : null;
  };
  const field = weighted(quarters);
  const expected = weighted(quarters.map((n, i) => n * (rule.quarterShare[i] ?? 0)));
  return { checkpoint: name, field, expected, bias: field === null || expected === null ? null : expected - field };
}

function precisionOf(
  plan: Plan,
  nEarly: number,
  both: { readonly nLate: number; readonly pairs: number } | null,
): PlanFigures['precision'] {
  const cells = changeCells(plan.shift);
  const shareAt = (checkpoint: string, n: number, share: number): PlannedShare => {
    const { low, high } = wilsonIntervalOfExpected(clamp(share) * n, n, plan.level);
    return { checkpoint, n, share, low, high, halfWidth: low === null || high === null ? null : (high - low) / 2 };
  };
  const early = shareAt(plan.early, nEarly, cells.rearfootEarly);
  if (both === null) return { shares: [early], difference: null };
  const n = both.pairs;
  const { low, high } = newcombePairedIntervalOfExpected(
    {
      both: n * clamp(cells.both),
      gained: n * cells.gained,
      lost: n * cells.lost,
      neither: n * clamp(cells.neither),
    },
    plan.level,
  );
  const width = low === null || high === null ? null : high - low;
  return {
    shares: [early, shareAt(plan.late, both.nLate, cells.rearfootLate)],
    difference: { n, difference: cells.gained - cells.lost, low, high, width },
  };
}

/** A share that rounding may have carried past 0 or 1. */
const clamp = (share: number): number => Math.min(1, Math.max(0, share));

function agreementOf({ agreement, level }: Plan): PlannedAgreement {
  const { kappa, feetTogether } = agreement;
  const needed = agreementUnitsNeeded(agreement.shares, kappa, agreement.width, level);
  const { units } = needed;
  return {
    ...{ agreement: needed.agreement, kappa, units },
    // With 1 both feet of a runner count as one unit.
    runners: units === null ? null : roundUp((units * (1 + feetTogether)) / 2),
    ac1: needed.ac1,
  };
}

function validationOf({ shift, validation, level }: Plan, runners: number, secondsEach: number): PlannedValidation {
  const { sensitivity, specificity, secondsPerClip, halfWidth } = validation;
  const planned = doubleSamplingPlan(
    {
      share: shift.rearfootEarly,
      ...{ sensitivity, specificity, halfWidth },
      ...{ cheapCost: secondsEach, trueCost: secondsPerClip, units: runners },
    },
    level,
  );
  const { atOptimal, free } = planned;
  return {
    ...{ raw: planned.raw, reliability: planned.reliability, costRatio: planned.costRatio },
    optimalFraction: planned.optimalFraction,
    runners,
    clips: planned.trueUnits,
    atOptimal: { clips: atOptimal.trueUnits, halfWidth: atOptimal.halfWidth },
    free: { runners: free.units, clips: free.trueUnits, seconds: free.cost },
  };
}
