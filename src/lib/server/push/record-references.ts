import type { TallyRecord } from '../../records/record.ts';
import { KINDS, type RecordKind } from '../../records/kinds.ts';
import type { PushEntry } from './push.ts';

/** The checkpoint that a record names. */
export function checkpointOf(record: TallyRecord): string | undefined {
  return 'checkpoint' in record ? record.checkpoint : undefined;
}

/** The record that another, such as a correction or withdrawal, is about. */
export function targetOf(record: TallyRecord): string | undefined {
  return 'target' in record ? record.target : undefined;
}

/** What the store knows of a record that others target. */
export interface Target {
  readonly device: string;
  readonly owner: string | null;
  readonly kind: RecordKind;
  /** What it targets itself, if its owner was not known when it came. */
  readonly target?: string | undefined;
}

/**
 * Follows targets to the record of its own that a correction or withdrawal is in the end about, such as a sighting, and
 * gives that record's device. Null when observers get no records of that kind, in a ring, and while it is not there yet.
 */
export function rootOwner(
  record: TallyRecord,
  inBatch: ReadonlyMap<string, PushEntry>,
  stored: ReadonlyMap<string, Target>,
): string | null {
  const seen = new Set<string>();
  for (let target = targetOf(record); target !== undefined && !seen.has(target);) {
    seen.add(target);
    const found = stored.get(target);
    const next = inBatch.get(target)?.sound.record;
    if (found?.owner) return found.owner;
    const root = found ?? next;
    if (root && KINDS[root.kind].targets === null) return KINDS[root.kind].toObservers ? root.device : null;
    target = found?.target ?? (next && targetOf(next));
  }
  return null;
}
