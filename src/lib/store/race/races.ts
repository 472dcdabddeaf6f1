import type { Race, ResultRow, StartListRow } from '../../race/race.ts';
import type { KerbsideDatabase, StoredRace, StoredResults, StoredStartList } from '../database.ts';
import { eraseRecords } from '../records/records.ts';
import { countSetUpChange } from './set-up-changes.ts';
import { tellOfSetUp } from './set-up-news.ts';

/** All races on this device, the one opened last first. */
export async function listRaces(db: KerbsideDatabase): Promise<StoredRace[]> {
  return db.races.orderBy('openedAt').reverse().toArray();
}

export async function findRace(db: KerbsideDatabase, id: string): Promise<StoredRace | undefined> {
  return db.races.get(id);
}

/**
 * Keeps a new or changed set-up. `now` is the clock in milliseconds. The hub's count of revisions stays with it, whatever
 * the given race says: only an exchange with the hub moves that.
 */
export async function saveRace(db: KerbsideDatabase, race: Race, now: number, demo?: boolean): Promise<void> {
  await db.transaction('rw', db.races, db.settings, async () => {
    await countSetUpChange(db, race.id);
    const before = await db.races.get(race.id);
    const revision = before?.race.revision ?? race.revision;
    const kept: Race = revision === undefined ? race : { ...race, revision };
    await db.races.put({
      ...before,
      id: race.id,
      race: kept,
      openedAt: now,
      changedHere: true,
      ...(demo ? { demo } : {}),
    });
  });
  tellOfSetUp(race.id);
}

/** The start list of a race; revision 0 and no rows when none was ever kept. */
export async function loadStartList(db: KerbsideDatabase, raceId: string): Promise<StoredStartList> {
  return (await db.startLists.get(raceId)) ?? { race: raceId, revision: 0, rows: [] };
}

/** The results of a race; revision 0 and no rows when none were ever kept. */
export async function loadResults(db: KerbsideDatabase, raceId: string): Promise<StoredResults> {
  return (await db.results.get(raceId)) ?? { race: raceId, revision: 0, rows: [] };
}

/** Keeps `rows` in place of the start list before, marked as changed here until the hub has it. */
export async function saveStartList(db: KerbsideDatabase, raceId: string, rows: StartListRow[]): Promise<void> {
  await db.transaction('rw', db.startLists, db.settings, async () => {
    await countSetUpChange(db, raceId);
    const before = await db.startLists.get(raceId);
    await db.startLists.put({ race: raceId, revision: before?.revision ?? 0, rows, changedHere: true });
  });
  tellOfSetUp(raceId);
}

/** Keeps `rows` in place of the results before, marked as changed here until the hub has them. */
export async function saveResults(db: KerbsideDatabase, raceId: string, rows: ResultRow[]): Promise<void> {
  await db.transaction('rw', db.results, db.settings, async () => {
    await countSetUpChange(db, raceId);
    const before = await db.results.get(raceId);
    await db.results.put({ race: raceId, revision: before?.revision ?? 0, rows, changedHere: true });
  });
  tellOfSetUp(raceId);
}

/**
 * Erases everything of a race from this device, in one transaction: set-up, lists, records of every device, counters,
 * settings and the link to the hub. What the hub or a saved file holds stays there.
 */
export async function eraseRace(db: KerbsideDatabase, raceId: string): Promise<void> {
  await db.transaction('rw', db.tables, async () => {
    await db.races.delete(raceId);
    await db.startLists.delete(raceId);
    await db.results.delete(raceId);
    await db.hubLinks.delete(raceId);
    await eraseRecords(db, raceId);
    // Settings of one race carry its id in their key; ids are long enough never to meet by chance.
    await db.settings.filter((setting) => setting.key.includes(raceId)).delete();
  });
}
