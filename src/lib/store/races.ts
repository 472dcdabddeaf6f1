import type { Race } from '../domain/race.ts';
import type { KerbsideDatabase, StoredRace } from './database.ts';

/** All races on this device, the one opened last first. */
export async function listRaces(db: KerbsideDatabase): Promise<StoredRace[]> {
  return db.races.orderBy('openedAt').reverse().toArray();
}

export async function findRace(db: KerbsideDatabase, id: string): Promise<StoredRace | undefined> {
  return db.races.get(id);
}

/** Keeps a new or changed set-up. `now` is the clock in milliseconds. */
export async function saveRace(db: KerbsideDatabase, race: Race, now: number, demo?: boolean): Promise<void> {
  await db.transaction('rw', db.races, async () => {
    const before = await db.races.get(race.id);
    await db.races.put({ ...before, id: race.id, race, openedAt: now, changedHere: true, ...(demo ? { demo } : {}) });
  });
}
