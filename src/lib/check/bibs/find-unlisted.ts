import type { Doubt } from '../doubt.ts';
import { decisionTag, doubtKey } from '../doubt-key.ts';
import type { CheckedField } from '../times/checked-field.ts';
import { MISREAD } from './misread-model.ts';
import { candidatesOf, type Misreadings } from './misreadings.ts';
import { oneRunnerOnce } from './one-runner-once.ts';
import { compareCodePoints } from '../../records/code-point-order.ts';

/** From this probability on the best candidate is proposed and one tap takes it. */
export const PROPOSE_FROM = 0.5;

/** A bib on no list at one checkpoint. */
interface Group {
  readonly bib: number;
  readonly checkpoint: number;
  readonly sightings: readonly number[];
  /** The first whose time is known. */
  readonly first: number;
  /** How many pairs of eyes have this bib anywhere. */
  readonly observers: number;
}

/** Sightings whose bib is on no start list, one doubt for each such bib at each checkpoint. */
export function findUnlisted(field: CheckedField, misreadings: Misreadings): Doubt[] {
  if (!field.hasList) return [];
  const groups = groupsOf(field);
  const explained = groups.map((group) => ({
    ways: misreadings.of(group.first).map((m) => ({ ...m, sighting: group.first })),
    rest: strangerOf(field, misreadings, group),
    among: observation(field, group.first),
  }));
  const ways = oneRunnerOnce(explained);
  return groups.map((group, n) => doubtOf(field, group, ways[n]!, explained[n]!.rest));
}

function groupsOf(field: CheckedField): Group[] {
  const groups: Group[] = [];
  for (let bib = field.listed; bib < field.bibs.length; bib += 1) {
    const byCheckpoint = new Map<number, number[]>();
    for (const i of field.sightingsOf[bib]!) {
      const { checkpoint, method } = field.sighting(i);
      if (method === 'ruling') continue;
      const group = byCheckpoint.get(checkpoint);
      if (group) group.push(i);
      else byCheckpoint.set(checkpoint, [i]);
    }
    const observers = new Set(field.sightingsOf[bib]!.map((i) => observation(field, i))).size;
    for (const [checkpoint, sightings] of byCheckpoint) {
      const first = sightings.find((i) => !Number.isNaN(field.elapsed[i]!)) ?? sightings[0]!;
      groups.push({ bib, checkpoint, sightings, first, observers });
    }
  }
  return groups;
}

function strangerOf(field: CheckedField, misreadings: Misreadings, { bib, first, observers }: Group): number {
  let stranger = misreadings.stranger(first);
  // A number that other eyes or other places have too is hardly a slip twice over.
  if (observers > 1) stranger *= MISREAD.strangerAgain / MISREAD.misreadAgain;
  if (field.hasResult[bib]) stranger *= 1000;
  return stranger;
}

function doubtOf(field: CheckedField, group: Group, ways: Parameters<typeof candidatesOf>[1], stranger: number): Doubt {
  const { bib, checkpoint, sightings, first, observers } = group;
  const candidates = candidatesOf(
    field,
    ways,
    stranger,
    sightings.filter((i) => i !== first),
  );
  const records = sightings.map((i) => field.sighting(i).id);
  const key = doubtKey(['unlisted', ...[...records].sort(compareCodePoints)]);
  const best = candidates[0];
  return {
    key,
    kind: 'unlisted',
    checkpoint,
    bib: field.bibs[bib]!,
    records,
    candidates,
    facts: {
      type: 'not-listed',
      seenElsewhere: observers - new Set(sightings.map((i) => observation(field, i))).size,
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
  };
}

/** An observer's clip of a sighting of their own is the same pair of eyes. */
function observation(field: CheckedField, i: number): string {
  const { observer, checkpoint } = field.sighting(i);
  return `${checkpoint}\n${observer}`;
}
