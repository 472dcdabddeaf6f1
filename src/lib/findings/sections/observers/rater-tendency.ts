import { raterName } from '../../rater-name.ts';
import { compareCodePoints } from '../../../records/code-point-order.ts';
import { FOOT_CLASSES } from '../../../records/foot.ts';
import { CLIP, leftOf, methodOf, rightOf, RULING, UNSEEN } from '../../../sightings/seen.ts';
import { observerOf } from '../../../sightings/used-sightings.ts';
import type { ResolvedRace } from '../../resolved-race.ts';

/** What one rater called at one checkpoint, feet. */
export interface RaterTendency {
  /** Observer, followed by `(clip)` for slow-motion review. */
  readonly rater: string;
  readonly checkpoint: string;
  /** By class, in class order. */
  readonly feet: readonly number[];
  readonly unseen: number;
}

function addFoot(entry: { feet: number[]; unseen: number }, foot: number): void {
  if (foot === UNSEEN) entry.unseen += 1;
  else entry.feet[foot]! += 1;
}

/** Which class each rater tends to: all feet called at a checkpoint, rulings left out. Linear. */
export function raterTendencies({ table, used }: ResolvedRace): RaterTendency[] {
  const found = new Map<number, { rater: string; checkpoint: number; feet: number[]; unseen: number }>();
  const raters = table.observers.length * 2 + 1;
  for (let i = 0; i < used.rows.length; i += 1) {
    const seen = used.seen[i]!;
    if (methodOf(seen) === RULING) continue;
    const clip = methodOf(seen) === CLIP;
    const key = used.checkpoint[i]! * raters + used.rater[i]!;
    let entry = found.get(key);
    if (!entry) {
      const observer = table.observers[observerOf(used.rater[i]!)]!;
      entry = {
        rater: raterName(observer, clip),
        checkpoint: used.checkpoint[i]!,
        feet: FOOT_CLASSES.map(() => 0),
        unseen: 0,
      };
      found.set(key, entry);
    }
    addFoot(entry, leftOf(seen));
    addFoot(entry, rightOf(seen));
  }
  return [...found.values()]
    .sort((a, b) => a.checkpoint - b.checkpoint || compareCodePoints(a.rater, b.rater))
    .map((entry) => ({ ...entry, checkpoint: table.checkpoints[entry.checkpoint]!.name }));
}
