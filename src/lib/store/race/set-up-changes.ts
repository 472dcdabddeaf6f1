import type { KerbsideDatabase } from '../database.ts';

// The race's id in the key: erasing a race finds its settings by it.
const keyOf = (raceId: string) => `set-up-changes:${raceId}`;

/**
 * How often a race's set-up, start list or results were changed on this device, by a person or by the hub: what was
 * computed from them is outdated when this has moved on.
 */
export async function setUpChanges(db: KerbsideDatabase, raceId: string): Promise<number> {
  const value = (await db.settings.get(keyOf(raceId)))?.value;
  return typeof value === 'number' ? value : 0;
}

/** Counts one more change; call it in the transaction that makes the change. */
export async function countSetUpChange(db: KerbsideDatabase, raceId: string): Promise<void> {
  await db.settings.put({ key: keyOf(raceId), value: (await setUpChanges(db, raceId)) + 1 });
}
