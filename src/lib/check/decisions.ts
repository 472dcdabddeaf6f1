import type { Projection } from '../records/projection.ts';
import type { TallyRecord } from '../records/record.ts';
import type { Foot, Gait } from '../records/foot.ts';
import type { CheckInput } from './input/check-input.ts';
import { DOUBT_KINDS, type DecisionDraft, type Doubt, type DoubtKind } from './doubt.ts';
import { decisionTag, readDecisionTag } from './doubt-key.ts';

/** The lead says which bib was meant; `null` when it cannot be read. */
export function correctBib(doubt: Doubt, records: readonly string[], bib: string | null): DecisionDraft[] {
  const note = `${bib === null ? 'Bib cannot be read' : 'Bib misread'} ${decisionTag(doubt.kind, doubt.key)}`;
  return records.map((target) => ({ kind: 'correction', target, bib, note }));
}

/** The lead says that a sighting was at another checkpoint: its observer had the wrong one open. */
export function moveTo(
  doubt: Doubt,
  input: Pick<CheckInput, 'checkpoints'>,
  target: string,
  checkpoint: number,
): DecisionDraft[] {
  const note = `Other checkpoint ${decisionTag(doubt.kind, doubt.key)}`;
  const { id } = input.checkpoints[checkpoint]!;
  return [{ kind: 'correction', target, checkpoint: id, note }];
}

/** The lead withdraws records. */
export function withdraw(doubt: Doubt, records: readonly string[]): DecisionDraft[] {
  const note = `Withdrawn ${decisionTag(doubt.kind, doubt.key)}`;
  return records.map((target) => ({ kind: 'withdrawal', target, note }));
}

/** The lead rules what the runner's feet did. */
export function rule(
  doubt: Doubt,
  input: Pick<CheckInput, 'checkpoints'>,
  seen: { readonly gait: Gait; readonly left: Foot; readonly right: Foot },
): DecisionDraft[] {
  if (doubt.checkpoint === null || doubt.bib === null) throw new Error('a ruling needs a bib at a checkpoint');
  const checkpoint = input.checkpoints[doubt.checkpoint]!.id;
  const note = `Ruled ${decisionTag(doubt.kind, doubt.key)}`;
  return [{ kind: 'ruling', checkpoint, bib: doubt.bib, ...seen, note }];
}

/** Sightings that an acceptance names, at most: those of a whole tablet are not listed one by one. */
const MOST_NAMED = 24;

/** The lead accepts everything as it stands. */
export function leaveAsIs({ key, kind, records }: Doubt): DecisionDraft[] {
  return [{ kind: 'acceptance', doubt: key, settles: kind, targets: records.slice(0, MOST_NAMED) }];
}

/** A decision of Check that is in force: the records it was written as, newest decision first. */
export interface Decision {
  readonly key: string;
  readonly kind: DoubtKind;
  readonly words: string;
  readonly records: readonly TallyRecord[];
  readonly madeAt: string;
}

/** The decisions in force, read from the records alone: acceptances, and what names in its note the doubt it settled. */
export function decisionsInForce(records: readonly TallyRecord[], projection: Projection): Decision[] {
  const byKey = new Map<string, { readonly record: TallyRecord; readonly settled: Settled }[]>();
  for (const record of records) {
    const settled = projection.withdrawn.has(record.id) ? null : settledBy(record);
    if (!settled) continue;
    const group = byKey.get(settled.key);
    if (group) group.push({ record, settled });
    else byKey.set(settled.key, [{ record, settled }]);
  }
  return [...byKey]
    .map(([key, group]) => {
      const { record, settled } = group.reduce((a, b) => (b.record.madeAt > a.record.madeAt ? b : a));
      return { ...settled, key, records: group.map((one) => one.record), madeAt: record.madeAt };
    })
    .sort((a, b) => (a.madeAt < b.madeAt ? 1 : a.madeAt > b.madeAt ? -1 : a.key < b.key ? -1 : 1));
}

type Settled = Pick<Decision, 'key' | 'kind' | 'words'>;

const LEFT = 'Looked at and left as it is';

/** The doubt that a record settled, or `null` when it is no decision of Check. */
function settledBy(record: TallyRecord): Settled | null {
  if (record.kind === 'sighting') return null;
  const found =
    record.kind === 'acceptance'
      ? { key: record.doubt, kind: record.settles, words: LEFT }
      : readDecisionTag(record.note);
  const kind = DOUBT_KINDS.find((one) => one === found?.kind);
  // An acceptance of a doubt that only a newer version knows is nobody's here.
  return found && kind ? { key: found.key, kind, words: found.words } : null;
}

/**
 * Keys of the doubts that the lead accepts as they stand. Until there were acceptances this was written as a correction
 * that changes nothing, with the doubt in its note: those that are stored go on counting.
 */
export function acceptedDoubts(records: readonly TallyRecord[], projection: Projection): Set<string> {
  const keys = new Set(projection.acceptances.map(({ doubt }) => doubt));
  for (const record of records) {
    if (record.kind !== 'correction' || projection.withdrawn.has(record.id)) continue;
    if (record.bib !== undefined || record.checkpoint !== undefined || record.left !== undefined) continue;
    const tag = readDecisionTag(record.note);
    if (tag) keys.add(tag.key);
  }
  return keys;
}

/** Takes a decision back: a withdrawal of each of its records. */
export function takeBack(decision: Decision): DecisionDraft[] {
  return decision.records.map((record) => ({ kind: 'withdrawal', target: record.id, note: 'Decision taken back' }));
}
