import type { KerbsideDatabase } from '../database.ts';

// The race's id in the key: erasing a race finds its settings by it.
const keyOf = (raceId: string) => `lead ${raceId}`;

/** The code under which this device's lead decides in a race; null while none was given. */
export async function loadLeadCode(db: KerbsideDatabase, raceId: string): Promise<string | null> {
  const value = (await db.settings.get(keyOf(raceId)))?.value;
  return typeof value === 'string' ? value : null;
}

export async function saveLeadCode(db: KerbsideDatabase, raceId: string, code: string): Promise<void> {
  await db.settings.put({ key: keyOf(raceId), value: code });
}
