import { countByMinute, passingField } from '../../../plan/passing-field.ts';
import { resolvePlan } from '../../../plan/resolve-plan.ts';
import type { Race } from '../../../race/race.ts';

/**
 * Runners in the busiest minute at the race's first checkpoint, by the flow that a plan reckons with when nothing is known
 * but how many start. `null` where the race has no checkpoint on its course, or nobody starts.
 */
export function busiestMinute({ km, checkpoints }: Race, starters: number): number | null {
  const places = checkpoints.filter((place) => place.km > 0).sort((a, b) => a.km - b.km);
  const course = km ?? places.at(-1)?.km;
  const first = places[0];
  if (!first || course === undefined || first.km > course || starters < 1) return null;
  const given = { starters, km: course, checkpoints: [{ name: first.name, km: first.km }] };
  const passing = passingField(resolvePlan(given, false).plan, first.km, null);
  return 'fault' in passing ? null : Math.max(0, ...countByMinute(passing.field).perMinute);
}
