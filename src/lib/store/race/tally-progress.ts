import type { KerbsideDatabase } from '../database.ts';
import { whenCommitted } from '../idb-promises.ts';

// The race's id in the key: erasing a race finds its settings by it.
const keyOf = (raceId: string) => `tally-progress:${raceId}`;

/** What was tapped in a race and not yet a record, as it was put down last; nothing when nothing was. */
export async function loadTallyProgress(db: KerbsideDatabase, raceId: string): Promise<string | undefined> {
  const value = (await db.settings.get(keyOf(raceId)))?.value;
  return typeof value === 'string' ? value : undefined;
}

/**
 * Puts it down. Not flushed to the disk, unlike a record: it outlives the browser's process, though not the device's power, and
 * costs no write to the disk for each digit.
 */
export async function saveTallyProgress(db: KerbsideDatabase, raceId: string, text: string): Promise<void> {
  if (!db.isOpen()) await db.open();
  const transaction = (db.backendDB() as IDBDatabase).transaction(['settings'], 'readwrite', { durability: 'relaxed' });
  const committed = whenCommitted(transaction);
  transaction.objectStore('settings').put({ key: keyOf(raceId), value: text });
  transaction.commit();
  await committed;
}
