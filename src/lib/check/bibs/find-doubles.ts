import { compareCodePoints } from '../../records/code-point-order.ts';
import type { CheckSighting } from '../input/check-input.ts';
import type { DecisionDraft, Doubt } from '../doubt.ts';
import { decisionTag, doubtKey } from '../doubt-key.ts';
import type { CheckedField } from '../times/checked-field.ts';
import { PROPOSE_FROM } from './find-unlisted.ts';
import { MISREAD } from './misread-model.ts';
import { candidatesOf, type Misreadings } from './misreadings.ts';

/** Span of a checkpoint's traffic over which entries that are no slip of the hand may fall, seconds. */
const TRAFFIC_SECONDS = 3600;

/**
 * The same bib more than once by one observer in one way at one checkpoint. Either one runner was entered again, or one
 * entry is a misreading of somebody else: the figures let the latest stand, so a misreading may have replaced the right
 * runner's sighting. Both are weighed: interval and feet for the first, look-alike bibs and times for the second.
 */
export function findDoubles(field: CheckedField, misreadings: Misreadings): Doubt[] {
  const doubts: Doubt[] = [];
  for (let bib = 0; bib < field.bibs.length; bib += 1) {
    if (field.sightingsOf[bib]!.length < 2) continue;
    const groups = new Map<string, number[]>();
    for (const i of field.sightingsOf[bib]!) {
      const { checkpoint, observer, method, passed } = field.sighting(i);
      if (method === 'ruling' || passed) continue;
      const key = `${checkpoint}\n${method}\n${observer}`;
      const group = groups.get(key);
      if (group) group.push(i);
      else groups.set(key, [i]);
    }
    for (const group of groups.values()) if (group.length > 1) doubts.push(double(field, misreadings, bib, group));
  }
  return doubts;
}

const sameFeet = (a: CheckSighting, b: CheckSighting) => a.gait === b.gait && a.left === b.left && a.right === b.right;

function double(field: CheckedField, misreadings: Misreadings, bib: number, unsorted: readonly number[]): Doubt {
  const group = [...unsorted].sort((a, b) => field.atMs[a]! - field.atMs[b]!);
  const sightings = group.map((i) => field.sighting(i));
  const { checkpoint, observer } = sightings[0]!;
  const apart = new Set(group);
  const alike = sightings.every((s) => sameFeet(s, sightings[0]!));

  const own = group.map((i) => perSecond(field.elapsed[i]!, densityOf(field, bib, checkpoint, i)));
  const repeated = group.slice(1).map((i, n) => {
    const seconds = (field.atMs[i]! - field.atMs[group[n]!]!) / 1000;
    const slip = Math.exp(-seconds / MISREAD.repeatSlipSeconds) / MISREAD.repeatSlipSeconds;
    const density = MISREAD.repeatSlipShare * slip + (1 - MISREAD.repeatSlipShare) / TRAFFIC_SECONDS;
    const same = sameFeet(field.sighting(i), field.sighting(group[n]!));
    return MISREAD.repeatRate * density * (same ? MISREAD.repeatSameFeet : 1 - MISREAD.repeatSameFeet);
  });
  const product = (values: readonly number[]) => values.reduce((a, b) => a * b, 1);
  const sameRunner = Math.max(...own) * product(repeated);
  const chance = alike ? MISREAD.chanceSameFeet : 1 - MISREAD.chanceSameFeet;
  // One entry is somebody else's; the others, if more than one, are repeats of each other.
  const others = product([...repeated].sort((a, b) => b - a).slice(0, group.length - 2)) * chance;
  const anchors = group.map((_, n) => Math.max(...own.filter((__, m) => m !== n)));
  // Somebody's bib, misread by more than one slip: a runner who cannot be named.
  const unnamed = group.map((i, n) => perSecond(field.elapsed[i]!, misreadings.unnamed(i)) * anchors[n]! * others);
  const ways = group.flatMap((i, n) => {
    return misreadings.of(i, apart).map((m) => ({
      bib: m.bib,
      sighting: i,
      weight: perSecond(field.elapsed[i]!, m.weight) * anchors[n]! * others,
    }));
  });
  const rest = unnamed.reduce((sum, weight) => sum + weight, sameRunner);
  const candidates = candidatesOf(field, ways, rest);
  const total = ways.reduce((sum, way) => sum + way.weight, rest);
  const share = total > 0 ? sameRunner / total : 1;

  // The entry that is most likely somebody else's comes first.
  const wrong = new Map<number, number>(group.map((i, n) => [i, unnamed[n]!]));
  for (const way of ways) wrong.set(way.sighting, (wrong.get(way.sighting) ?? 0) + way.weight);
  const order = [...group].sort((a, b) => (wrong.get(b) ?? 0) - (wrong.get(a) ?? 0) || a - b);
  const records = order.map((i) => field.sighting(i).id);
  const key = doubtKey(['double', ...[...records].sort(compareCodePoints)]);
  return {
    key,
    kind: 'double',
    checkpoint,
    bib: field.bibs[bib]!,
    records,
    candidates,
    facts: {
      type: 'repeat',
      observer,
      apartSeconds: (field.atMs[group[group.length - 1]!]! - field.atMs[group[0]!]!) / 1000,
      sameFeet: alike,
      sameRunner: share,
    },
    proposal: proposalOf(
      field,
      group,
      records[0]!,
      candidates,
      share,
      key,
      total > 0 ? wrong.get(order[0]!)! / total : 0,
    ),
    weight: alike ? 0.2 + 0.45 * (1 - share) : 0.5 + 0.25 * (1 - share),
  };
}

function proposalOf(
  field: CheckedField,
  group: readonly number[],
  /** The entry that is most likely somebody else's. */
  first: string,
  candidates: Doubt['candidates'],
  sameRunner: number,
  key: string,
  /** Probability that the first of the records is somebody else's, whoever that is. */
  firstIsWrong: number,
): readonly DecisionDraft[] | null {
  const tag = decisionTag('double', key);
  const best = candidates[0];
  if (best && best.probability >= PROPOSE_FROM) {
    return best.records.map((target) => ({ kind: 'correction', target, bib: best.bib, note: `Bib misread ${tag}` }));
  }
  if (firstIsWrong >= PROPOSE_FROM) {
    // Without a bib it can no longer stand in the figures for a runner whom it does not show.
    return [{ kind: 'correction', target: first, bib: null, note: `Somebody else’s bib ${tag}` }];
  }
  if (sameRunner < PROPOSE_FROM) return null;
  // The latest entry is the one that counts in the figures: the earlier ones go, and nothing else changes.
  const latest = [...group].sort((a, b) => {
    const [s, t] = [field.sighting(a), field.sighting(b)];
    return t.atMs - s.atMs || compareCodePoints(t.id, s.id);
  });
  return latest
    .slice(1)
    .map((i) => ({ kind: 'withdrawal', target: field.sighting(i).id, note: `Entered more than once ${tag}` }));
}

function densityOf(field: CheckedField, bib: number, checkpoint: number, i: number): number {
  const seconds = field.elapsed[i]!;
  return seconds > 0 ? field.density(bib, checkpoint, Math.log(seconds)) : 1;
}

/** Densities over log seconds to densities over seconds, so that they compare with intervals. */
function perSecond(seconds: number, density: number): number {
  return seconds > 0 ? density / seconds : density / TRAFFIC_SECONDS;
}
