import type { Doubt } from './doubt.ts';
import { decisionTag, doubtKey } from './doubt-key.ts';
import type { Field } from './field.ts';
import { MISREAD } from './misread-model.ts';
import { candidatesOf, type Misreadings } from './misreadings.ts';
import { compareCodePoints } from '../records/code-point-order.ts';

/** From this probability on the best candidate is proposed and one tap takes it. */
export const PROPOSE_FROM = 0.5;

/** Sightings whose bib is on no start list, one doubt for each such bib at each checkpoint. */
export function findUnlisted(field: Field, misreadings: Misreadings): Doubt[] {
  if (!field.hasList) return [];
  const doubts: Doubt[] = [];
  for (let bib = field.listed; bib < field.bibs.length; bib += 1) {
    const byCheckpoint = new Map<number, number[]>();
    for (const i of field.sightingsOf[bib]!) {
      const { checkpoint, method } = field.sighting(i);
      if (method === 'ruling') continue;
      const group = byCheckpoint.get(checkpoint);
      if (group) group.push(i);
      else byCheckpoint.set(checkpoint, [i]);
    }
    const observers = new Set(field.sightingsOf[bib]!.map((i) => observation(field, i)));
    for (const [checkpoint, group] of byCheckpoint) {
      const first = group.find((i) => !Number.isNaN(field.elapsed[i]!)) ?? group[0]!;
      const ways = misreadings.of(first).map((m) => ({ ...m, sighting: first }));
      let stranger = misreadings.stranger(first);
      // A number that other eyes or other places have too is hardly a slip twice over.
      if (observers.size > 1) stranger *= MISREAD.strangerAgain / MISREAD.misreadAgain;
      if (field.hasResult[bib]) stranger *= 1000;
      const candidates = candidatesOf(
        field,
        ways,
        stranger,
        group.filter((i) => i !== first),
      );
      const records = group.map((i) => field.sighting(i).id);
      const key = doubtKey(['unlisted', ...[...records].sort(compareCodePoints)]);
      const best = candidates[0];
      doubts.push({
        key,
        kind: 'unlisted',
        checkpoint,
        bib: field.bibs[bib]!,
        records,
        candidates,
        facts: {
          type: 'not-listed',
          seenElsewhere: observers.size - new Set(group.map((i) => observation(field, i))).size,
          hasResult: field.hasResult[bib] === 1,
        },
        proposal:
          best && best.probability >= PROPOSE_FROM
            ? best.records.map((target) => ({
                kind: 'correction' as const,
                target,
                bib: best.bib,
                note: `Bib misread ${decisionTag('unlisted', key)}`,
              }))
            : null,
        weight: 0.7 + 0.1 * (best?.probability ?? 0),
      });
    }
  }
  return doubts;
}

/** An observer's clip of a sighting of their own is the same pair of eyes. */
function observation(field: Field, i: number): string {
  const { observer, checkpoint } = field.sighting(i);
  return `${checkpoint}\n${observer}`;
}
