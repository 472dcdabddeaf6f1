import { compareCodePoints } from '../../records/code-point-order.ts';
import type { CheckSighting } from '../input/check-input.ts';
import type { Doubt } from '../doubt.ts';
import { decisionTag, doubtKey } from '../doubt-key.ts';
import { countingSightings, disputedParts } from './feet-of-group.ts';
import type { CheckedField } from '../times/checked-field.ts';

/** Two runners whose feet one observer may have exchanged pass within this time; common practice, no source. */
const SWAP_WITHIN_MS = 60_000;

interface Dispute {
  readonly bib: number;
  readonly checkpoint: number;
  readonly group: readonly CheckSighting[];
  readonly counting: readonly CheckSighting[];
  readonly what: readonly ('gait' | 'left' | 'right')[];
}

/**
 * Runners whom the observers class differently at a checkpoint, without a ruling. When one observer gives two such
 * runners who pass together each other's feet, the bibs were exchanged: that is one doubt, and its proposal puts both right.
 */
export function findDisputed(field: CheckedField): Doubt[] {
  const byCheckpoint = new Map<number, Dispute[]>();
  for (let bib = 0; bib < field.bibs.length; bib += 1) {
    if (field.sightingsOf[bib]!.length < 2) continue;
    for (const [checkpoint, group] of groupsOf(field, bib)) {
      if (group.length < 2) continue;
      const counting = countingSightings(group);
      const what = disputedParts(counting);
      if (!what.length) continue;
      const dispute = { bib, checkpoint, group, counting, what };
      const known = byCheckpoint.get(checkpoint);
      if (known) known.push(dispute);
      else byCheckpoint.set(checkpoint, [dispute]);
    }
  }
  return [...byCheckpoint.values()].flatMap((disputes) => withSwaps(field, disputes));
}

function groupsOf(field: CheckedField, bib: number): Map<number, CheckSighting[]> {
  const groups = new Map<number, CheckSighting[]>();
  for (const i of field.sightingsOf[bib]!) {
    const sighting = field.sighting(i);
    const group = groups.get(sighting.checkpoint);
    if (group) group.push(sighting);
    else groups.set(sighting.checkpoint, [sighting]);
  }
  return groups;
}

function withSwaps(field: CheckedField, disputes: readonly Dispute[]): Doubt[] {
  const at = (d: Dispute) => Math.min(...d.counting.map((s) => s.atMs));
  const sorted = [...disputes].sort((a, b) => at(a) - at(b));
  const paired = new Set<Dispute>();
  const doubts: Doubt[] = [];
  sorted.forEach((first, i) => {
    if (paired.has(first)) return;
    for (let j = i + 1; j < sorted.length && at(sorted[j]!) - at(first) <= SWAP_WITHIN_MS; j += 1) {
      const second = sorted[j]!;
      const swap = paired.has(second) ? null : swappedBy(first, second);
      if (!swap) continue;
      paired.add(first).add(second);
      doubts.push(swapDoubt(field, first, second, swap));
      return;
    }
    doubts.push(disputeDoubt(field, first));
  });
  return doubts;
}

const sameFeet = (a: CheckSighting, b: CheckSighting) => a.gait === b.gait && a.left === b.left && a.right === b.right;

/** The observer's two sightings that, exchanged, agree with everybody else's; `null` when there are none. */
function swappedBy(a: Dispute, b: Dispute): readonly [CheckSighting, CheckSighting] | null {
  for (const ofA of a.counting) {
    const ofB = b.counting.find((s) => s.observer === ofA.observer && s.method === ofA.method);
    if (!ofB || sameFeet(ofA, ofB) || Math.abs(ofA.atMs - ofB.atMs) > SWAP_WITHIN_MS) continue;
    const others = (d: Dispute, own: CheckSighting) => d.counting.filter((s) => s !== own);
    if (others(a, ofA).every((s) => sameFeet(s, ofB)) && others(b, ofB).every((s) => sameFeet(s, ofA))) {
      return [ofA, ofB];
    }
  }
  return null;
}

function swapDoubt(
  field: CheckedField,
  a: Dispute,
  b: Dispute,
  [ofA, ofB]: readonly [CheckSighting, CheckSighting],
): Doubt {
  const records = [ofA, ofB, ...a.counting.filter((s) => s !== ofA), ...b.counting.filter((s) => s !== ofB)].map(
    (s) => s.id,
  );
  const key = doubtKey(['swapped', ...[...records].sort(compareCodePoints)]);
  const note = `Feet of two runners exchanged ${decisionTag('disputed', key)}`;
  const [bibA, bibB] = [field.bibs[a.bib]!, field.bibs[b.bib]!];
  return {
    key,
    kind: 'disputed',
    checkpoint: a.checkpoint,
    bib: bibA,
    records,
    candidates: [],
    facts: {
      type: 'swapped',
      other: bibB,
      observer: ofA.observer,
      apartSeconds: Math.abs(ofA.atMs - ofB.atMs) / 1000,
    },
    proposal: [
      { kind: 'correction', target: ofA.id, bib: bibB, note },
      { kind: 'correction', target: ofB.id, bib: bibA, note },
    ],
    weight: 0.85,
  };
}

function disputeDoubt(field: CheckedField, { bib, checkpoint, group, counting, what }: Dispute): Doubt {
  const records = [...counting, ...group.filter((s) => !counting.includes(s))].map((s) => s.id);
  return {
    key: doubtKey(['disputed', field.placeOf(checkpoint), ...[...records].sort(compareCodePoints)]),
    kind: 'disputed',
    checkpoint,
    bib: field.bibs[bib]!,
    records,
    candidates: [],
    facts: { type: 'dispute', what },
    proposal: null,
    weight: 0.66,
  };
}
