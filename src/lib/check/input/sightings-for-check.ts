import { compareCodePoints } from '../../records/code-point-order.ts';
import type { CheckSighting } from './check-input.ts';

/**
 * What the check looks at, from the standing sightings and rulings of a race: of several rulings of one bib at one
 * checkpoint the latest alone, ties by the greater id; by id, so that no doubt depends on the order they came in.
 */
export function sightingsForCheck(standing: readonly CheckSighting[]): CheckSighting[] {
  const latest = new Map<string, CheckSighting>();
  for (const one of standing) {
    if (one.method !== 'ruling') continue;
    const key = `${one.checkpoint}\n${one.bib}`;
    const held = latest.get(key);
    if (!held || one.atMs > held.atMs || (one.atMs === held.atMs && compareCodePoints(one.id, held.id) > 0)) {
      latest.set(key, one);
    }
  }
  const rulings = new Set(latest.values());
  const kept = standing.filter((one) => one.method !== 'ruling' || rulings.has(one));
  const isSorted = kept.every((one, i) => i === 0 || compareCodePoints(kept[i - 1]!.id, one.id) < 0);
  return isSorted ? kept : kept.sort((a, b) => compareCodePoints(a.id, b.id));
}
