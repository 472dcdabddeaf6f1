import type { EntityTable } from 'dexie';
import { raceLine } from '../../race/canonical-race.ts';
import type { Race, ResultRow, StartListRow } from '../../race/race.ts';
import type { KerbsideDatabase, StoredList } from '../database.ts';
import { countSetUpChange } from '../race/set-up-changes.ts';
import { tellOfSetUp } from '../race/set-up-news.ts';

/** Keeps the hub's set-up in place of the one here. `now` is the clock in milliseconds. */
export async function takeSetUp(db: KerbsideDatabase, race: Race, now: number): Promise<void> {
  await db.transaction('rw', db.races, db.settings, async () => {
    await countSetUpChange(db, race.id);
    const before = await db.races.get(race.id);
    await db.races.put({ openedAt: now, ...before, id: race.id, race, changedHere: false });
  });
  tellOfSetUp(race.id);
}

/** Notes that the hub has the set-up `sent` as `revision`. What was changed here meanwhile stays marked as changed. */
export async function handedInSetUp(db: KerbsideDatabase, sent: Race, revision: number): Promise<void> {
  await db.transaction('rw', db.races, async () => {
    const before = await db.races.get(sent.id);
    if (!before) return;
    const changedHere = raceLine(before.race) !== raceLine(sent);
    await db.races.put({ ...before, race: { ...before.race, revision }, changedHere });
  });
}

/** The two lists of a race, by the name of their table. */
export interface ListRows {
  readonly startLists: StartListRow;
  readonly results: ResultRow;
}

function tableOf<List extends keyof ListRows>(db: KerbsideDatabase, list: List) {
  return db[list] as unknown as EntityTable<StoredList<ListRows[List]>, 'race'>;
}

/** Keeps the hub's list in place of the one here. */
export async function takeList<List extends keyof ListRows>(
  db: KerbsideDatabase,
  list: List,
  race: string,
  rows: ListRows[List][],
  revision: number,
): Promise<void> {
  const table = tableOf(db, list);
  await db.transaction('rw', table, db.settings, async () => {
    await countSetUpChange(db, race);
    await table.put({ race, revision, rows, changedHere: false });
  });
  tellOfSetUp(race);
}

/** Notes that the hub has the list `sent` as `revision`. What was changed here meanwhile stays marked as changed. */
export async function handedInList<List extends keyof ListRows>(
  db: KerbsideDatabase,
  list: List,
  race: string,
  sent: readonly ListRows[List][],
  revision: number,
): Promise<void> {
  const table = tableOf(db, list);
  await db.transaction('rw', table, async () => {
    const before = await table.get(race);
    if (!before) return;
    const changedHere = JSON.stringify(before.rows) !== JSON.stringify(sent);
    await table.put({ ...before, revision, changedHere });
  });
}

/**
 * Marks everything a lead edits as changed here and unknown to any hub, for a race that is about to be opened at one. Lists
 * without rows have nothing to hand in.
 */
export async function markForNewHub(db: KerbsideDatabase, raceId: string): Promise<void> {
  await db.transaction('rw', db.races, db.startLists, db.results, async () => {
    const race = await db.races.get(raceId);
    if (race) await db.races.put({ ...race, changedHere: true });
    const startList = await db.startLists.get(raceId);
    if (startList) await db.startLists.put({ ...startList, revision: 0, changedHere: startList.rows.length > 0 });
    const results = await db.results.get(raceId);
    if (results) await db.results.put({ ...results, revision: 0, changedHere: results.rows.length > 0 });
  });
}
