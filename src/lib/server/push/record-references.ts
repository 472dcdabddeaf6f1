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

/** A withdrawal of a withdrawal of … is followed so far in the store. Nobody takes back that often; a program may. */
export const MOST_LEVELS = 16;

/**
 * Follows targets to the record of its own that a correction or withdrawal is in the end about, such as a sighting, and
 * gives that record's device, for each entry of which it can be told. It cannot when observers get no records of that kind,
 * in a ring, and while it is not there yet. Linear in the entries: what was found for one is remembered for those that
 * lead to it.
 */
export function rootOwners(
  entries: readonly PushEntry[],
  inBatch: ReadonlyMap<string, PushEntry>,
  stored: ReadonlyMap<string, Target>,
): ReadonlyMap<string, string | null> {
  const owners = new Map<string, string | null>();
  for (const { sound } of entries) {
    if (targetOf(sound.record) === undefined) continue;
    const way = new Set<string>();
    let owner: string | null | undefined;
    for (let id: string | undefined = sound.record.id; id !== undefined && !way.has(id);) {
      owner = owners.get(id);
      if (owner !== undefined) break;
      way.add(id);
      const found = stored.get(id);
      const next: TallyRecord | undefined = inBatch.get(id)?.sound.record;
      owner = found?.owner ?? ownRecord(found ?? next);
      if (owner !== undefined) break;
      id = found?.target ?? (next && targetOf(next));
    }
    for (const id of way) owners.set(id, owner ?? null);
  }
  return owners;
}

/** The device of a record that is about no other: null when observers get none of its kind, undefined for other records. */
function ownRecord(
  record: { readonly kind: RecordKind; readonly device: string } | undefined,
): string | null | undefined {
  if (record === undefined || KINDS[record.kind].targets !== null) return undefined;
  return KINDS[record.kind].toObservers ? record.device : null;
}
