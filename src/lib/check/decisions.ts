import type { Projection } from '../records/projection.ts';
import type { TallyRecord } from '../records/record.ts';
import type { Foot, Gait } from '../records/foot.ts';
import type { CheckInput } from './check-input.ts';
import type { DecisionDraft, Doubt, DoubtKind } from './doubt.ts';
import { decisionTag, readDecisionTag } from './doubt-key.ts';

/** The lead says which bib was meant; `null` when it cannot be read. */
export function correctBib(doubt: Doubt, records: readonly string[], bib: string | null): DecisionDraft[] {
  const note = `${bib === null ? 'Bib cannot be read' : 'Bib misread'} ${decisionTag(doubt.kind, doubt.key)}`;
  return records.map((target) => ({ kind: 'correction', target, bib, note }));
}

/** The lead takes records out. */
export function withdraw(doubt: Doubt, records: readonly string[]): DecisionDraft[] {
  const note = `Taken out ${decisionTag(doubt.kind, doubt.key)}`;
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

/**
 * The lead leaves everything as it is: a correction that corrects nothing and names the doubt, so that the decision
 * travels, shows in the list of changes and can be taken back like any other. It hangs on one of the doubt's sightings,
 * or, for a doubt about none, on any; `null` when there is no sighting at all.
 */
export function leaveAsIs(doubt: Doubt, sightingIds: readonly string[]): DecisionDraft[] | null {
  const known = new Set(sightingIds);
  const target = doubt.records.find((id) => known.has(id)) ?? sightingIds[0];
  if (target === undefined) return null;
  return [{ kind: 'correction', target, note: `Looked at and left as it is ${decisionTag(doubt.kind, doubt.key)}` }];
}

/** A decision of Check that is in force: the records it was written as, newest decision first. */
export interface Decision {
  readonly key: string;
  readonly kind: DoubtKind;
  readonly words: string;
  readonly records: readonly TallyRecord[];
  readonly madeAt: string;
}

/** The decisions in force, read from the records alone: those whose note names the doubt they settled. */
export function decisionsInForce(records: readonly TallyRecord[], projection: Projection): Decision[] {
  const byKey = new Map<string, TallyRecord[]>();
  for (const record of records) {
    if (record.kind === 'sighting' || projection.withdrawn.has(record.id)) continue;
    const tag = readDecisionTag(record.note);
    if (!tag) continue;
    const group = byKey.get(tag.key);
    if (group) group.push(record);
    else byKey.set(tag.key, [record]);
  }
  return [...byKey]
    .map(([key, group]) => {
      const newest = group.reduce((a, b) => (b.madeAt > a.madeAt ? b : a));
      const tag = readDecisionTag(newest.note)!;
      return { key, kind: tag.kind as DoubtKind, words: tag.words, records: group, madeAt: newest.madeAt };
    })
    .sort((a, b) => (a.madeAt < b.madeAt ? 1 : a.madeAt > b.madeAt ? -1 : a.key < b.key ? -1 : 1));
}

/** Takes a decision back: a withdrawal of each of its records. */
export function takeBack(decision: Decision): DecisionDraft[] {
  return decision.records.map((record) => ({ kind: 'withdrawal', target: record.id, note: 'Decision taken back' }));
}
