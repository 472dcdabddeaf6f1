import type { TallyRecord } from '../../records/record.ts';
import { KIND_NUMBER } from '../database/hub-tables.ts';
import type { PushEntry } from './push.ts';

/** The checkpoint that a record names. */
export function checkpointOf(record: TallyRecord): string | undefined {
  return record.kind === 'withdrawal' ? undefined : record.checkpoint;
}

/** The record that a correction or withdrawal is about. */
export function targetOf(record: TallyRecord): string | undefined {
  return record.kind === 'correction' || record.kind === 'withdrawal' ? record.target : undefined;
}

/** What the store knows of a record that others target. */
export interface Target {
  readonly device: string;
  readonly owner: string | null;
  readonly kind: number;
  /** What it targets itself, if its owner was not known when it came. */
  readonly target?: string | undefined;
}

/**
 * Follows targets to the sighting that a correction or withdrawal is in the end about, and gives that sighting's device.
 * Null when the way leads to a ruling, in a ring, or to a record that is not there yet.
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
    if (found?.kind === KIND_NUMBER.sighting) return found.device;
    if (found?.owner) return found.owner;
    if (next?.kind === 'sighting') return next.device;
    target = found?.target ?? (next && targetOf(next));
  }
  return null;
}
