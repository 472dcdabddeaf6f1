import { failed, succeeded, type Attempt } from '../records/attempt.ts';
import type { Course } from './candidates.ts';
import { minutePairs } from './expected-pairs.ts';
import { countByMinute, passingField, type TooLateAtTheLine } from './passing-field.ts';
import type { GivenPlan } from './plan-schema.ts';
import { resolvePlan, type Plan, type PlannedCheckpoint } from './resolve-plan.ts';
import type { PassedCheckpoint } from './watched.ts';

/** A plan with every default filled in and every runner on the course. */
export interface LaidCourse {
  readonly plan: Plan;
  readonly assumed: readonly string[];
  readonly course: Course;
  readonly finishes: ArrayLike<number> | null;
}

/** A field that cannot have run so. */
export interface LineFault extends TooLateAtTheLine {
  readonly type: 'too late at the line';
}

/**
 * @param finishes last year's finish times in seconds, rising, at least one; `null` without
 * @param fieldAt draws up the field at a checkpoint; one that remembers saves most of the work of a small change
 */
export function layCourse(
  given: GivenPlan,
  finishes: ArrayLike<number> | null,
  fieldAt: typeof passingField = passingField,
): Attempt<LaidCourse, LineFault> {
  const { plan, assumed } = resolvePlan(given, finishes !== null);
  const places: PassedCheckpoint[] = [];
  for (const checkpoint of plan.checkpoints) {
    const place = placeOf(checkpoint, fieldAt(plan, checkpoint.km, finishes));
    if ('fault' in place) return failed({ type: 'too late at the line', ...place.fault } as const);
    places.push(place);
  }
  return succeeded({ plan, assumed, course: courseOf(plan, places), finishes });
}

function placeOf(
  checkpoint: PlannedCheckpoint,
  passing: ReturnType<typeof passingField>,
): PassedCheckpoint | { fault: TooLateAtTheLine } {
  if ('fault' in passing) return passing;
  const counts = countByMinute(passing.field);
  let peakMinute = -1;
  for (const [minute, count] of counts.perMinute.entries()) {
    if (peakMinute < 0 || count > counts.perMinute[peakMinute]!) peakMinute = minute;
  }
  return { ...checkpoint, ...passing.field, ...counts, peakMinute };
}

function courseOf(plan: Plan, places: readonly PassedCheckpoint[]): Course {
  const early = places.findIndex(({ name }) => name === plan.early);
  const late = places.findIndex(({ name }) => name === plan.late);
  return { places, early, late, minutePairs: early === late ? null : minutePairs(places[early]!, places[late]!) };
}
