import { Dexie } from 'dexie';
import type { TallyRecord } from '../../records/record.ts';
import type { KerbsideDatabase } from '../database.ts';
import { eachBatch, gatherRecords, type RecordSource } from './record-batches.ts';
import { recordsOfBlock } from './record-block.ts';
import { tellOfRecords } from './record-news.ts';
import { blockSubject, recordSubject } from './record-subject.ts';
import { gapsBetween } from '../seq-ranges.ts';

/** The device's database, to read a race's records from. */
export const recordSource = (db: KerbsideDatabase): RecordSource => ({
  blockCount: async (raceId) => (await db.counters.get(raceId))?.blocks ?? 0,
  ownRecords: (raceId, limit, afterSeq) => ownRecords(db, raceId, limit, afterSeq),
  blocks: async (raceId, first, last) => {
    const rows = await db.blocks.where('[race+block]').between([raceId, first], [raceId, last], true, true).toArray();
    return rows.map(({ records }) => ({ records }));
  },
});

/** Every record of the race on this device, own ones first, each id once. */
export async function allRecords(db: KerbsideDatabase, raceId: string): Promise<TallyRecord[]> {
  return gatherRecords(recordSource(db), raceId);
}

/** Hands every record of the race to `visit` in batches, own ones first by `seq`, each id once. */
export async function eachRecordBatch(
  db: KerbsideDatabase,
  raceId: string,
  visit: (records: TallyRecord[]) => void | Promise<void>,
): Promise<void> {
  await eachBatch(recordSource(db), raceId, visit);
}

/** Own records that the hub does not have, by `seq`, from after `afterSeq` on. */
export async function waitingRecords(
  db: KerbsideDatabase,
  raceId: string,
  limit: number,
  afterSeq = 0,
): Promise<TallyRecord[]> {
  const { handedIn = [] } = (await db.counters.get(raceId)) ?? {};
  const waiting: TallyRecord[] = [];
  for (const [from, to] of gapsBetween(handedIn, afterSeq, Infinity)) {
    if (waiting.length >= limit) break;
    waiting.push(...(await ownRecords(db, raceId, limit - waiting.length, from - 1, to)));
  }
  return waiting;
}

/** Own records of the race by `seq`, from after `afterSeq` on: what a hand-off file of this device holds. */
export async function ownRecords(
  db: KerbsideDatabase,
  raceId: string,
  limit = Infinity,
  afterSeq = 0,
  upToSeq = Infinity,
): Promise<TallyRecord[]> {
  const rows = await db.records
    .where('[race+seq]')
    .between([raceId, afterSeq], [raceId, upToSeq], false, true)
    .limit(limit)
    .toArray();
  return rows.map((row) => row.record);
}

/** Own sightings that are read at most, however few of them were looked at. */
const RECENT_AT_MOST = 400;

/** Pulled sightings that are read at most. */
const NEWEST_PULLED = 200;

/** Some of the newest sightings on this device, own ones and those that came last, with every record that bears on them. */
export async function newestRecords(db: KerbsideDatabase, raceId: string): Promise<TallyRecord[]> {
  const { blocks = 0 } = (await db.counters.get(raceId)) ?? {};
  const [own, last] = await Promise.all([recentRecords(db, raceId, 50), db.blocks.get([raceId, blocks])]);
  const sightings = last ? recordsOfBlock(last).filter(({ kind }) => kind === 'sighting') : [];
  return [...own, ...(await withRecordsAbout(db, raceId, sightings.slice(-NEWEST_PULLED)))];
}

/**
 * The newest own sightings, up to `limit` that were not let pass, with every record on this device that bears on them (corrections,
 * withdrawals, and what withdraws those), in no particular order.
 */
export async function recentRecords(db: KerbsideDatabase, raceId: string, limit: number): Promise<TallyRecord[]> {
  let lookedAt = 0;
  const sightings = await db.records
    .where('[race+seq]')
    .between([raceId, 0], [raceId, Dexie.maxKey])
    .reverse()
    .filter(({ record }) => record.kind === 'sighting')
    .until(({ record }) => record.kind === 'sighting' && !record.passed && (lookedAt += 1) >= limit, true)
    .limit(RECENT_AT_MOST)
    .toArray();
  return withRecordsAbout(
    db,
    raceId,
    sightings.map((row) => row.record),
  );
}

/** Own sightings that have, had or were given this bib, with every record on this device that bears on them. */
export async function recordsOfBib(db: KerbsideDatabase, raceId: string, bib: string): Promise<TallyRecord[]> {
  const rows = await db.records.where('[race+bib]').equals([raceId, bib]).toArray();
  const targets = rows.map(({ record }) => (record.kind === 'correction' ? record.target : record.id));
  const sightings = await db.records.bulkGet([...new Set(targets)]);
  return withRecordsAbout(
    db,
    raceId,
    sightings.flatMap((row) => (row ? [row.record] : [])),
  );
}

async function withRecordsAbout(db: KerbsideDatabase, raceId: string, roots: TallyRecord[]): Promise<TallyRecord[]> {
  const found = new Map(roots.map((record) => [record.id, record]));
  let ids = [...found.keys()];
  while (ids.length) {
    const own = await db.records
      .where('[race+subject]')
      .anyOf(ids.map((id) => [raceId, id]))
      .toArray();
    const blocks = await db.blocks
      .where('subjects')
      .anyOf(ids.map((id) => blockSubject(raceId, id)))
      .distinct()
      .toArray();
    const wanted = new Set(ids);
    const about = [...own.map((row) => row.record), ...blocks.flatMap(recordsOfBlock)].filter((record) => {
      const subject = recordSubject(record);
      return subject !== undefined && wanted.has(subject) && !found.has(record.id);
    });
    for (const record of about) found.set(record.id, record);
    ids = about.map((record) => record.id);
  }
  return [...found.values()];
}

/** Removes every record of the race from this device. Call it in the transaction that erases the race, or alone. */
export async function eraseRecords(db: KerbsideDatabase, raceId: string): Promise<void> {
  await db.transaction('rw', [db.records, db.blocks, db.blockIds, db.counters], async () => {
    await db.records.where('[race+seq]').between([raceId, Dexie.minKey], [raceId, Dexie.maxKey]).delete();
    await db.blocks.where('[race+block]').between([raceId, Dexie.minKey], [raceId, Dexie.maxKey]).delete();
    await db.blockIds.where('[race+block]').between([raceId, Dexie.minKey], [raceId, Dexie.maxKey]).delete();
    await db.counters.delete(raceId);
  });
  tellOfRecords(raceId, 'erased');
}
