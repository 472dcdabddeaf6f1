import { Dexie } from 'dexie';
import { newId, type RandomBytes } from '../../records/new-id.ts';
import type { TallyRecord } from '../../records/record.ts';
import type { KerbsideDatabase, RecordCounters } from '../database.ts';
import { tellOfRecords } from './record-news.ts';
import { addSeqs, countSeqs } from '../seq-ranges.ts';

/** What comes from outside: the clock in milliseconds since 1970 and a source of randomness. */
export interface Moment {
  readonly now: number;
  readonly randomBytes: RandomBytes;
}

/** Counts of a race's records on this device. */
export interface RecordCounts {
  /** The greatest `seq` given, which is also the number of own records. */
  readonly lastSeq: number;
  /** Own sightings that are not withdrawn here. */
  readonly tallied: number;
  /** Own records that the hub does not have. */
  readonly waiting: number;
  /** All own records up to this `seq` stand in a hand-off file that was saved. */
  readonly savedSeq: number;
  /** Records of other devices. */
  readonly pulled: number;
}

/** Where a race's own records end. */
export interface LastOwn {
  readonly seq: number;
  readonly tallied: number;
}

export const NONE_OWN: LastOwn = { seq: 0, tallied: 0 };

/** Counters of a race that has no record here yet; the device's name is made now. */
export function newCounters(race: string, { now, randomBytes }: Moment): RecordCounters {
  return countersOf(race, newId(now, randomBytes));
}

const countersOf = (race: string, device: string): RecordCounters => ({
  ...{ race, device, handedIn: [], savedSeq: 0, pulled: 0, blocks: 0 },
});

export function countsOf(counters: RecordCounters | undefined, { seq, tallied }: LastOwn): RecordCounts {
  const { handedIn = [], savedSeq = 0, pulled = 0 } = counters ?? {};
  return { lastSeq: seq, tallied, waiting: seq - countSeqs(handedIn), savedSeq, pulled };
}

/** Counts of a race's records on this device; two reads, however many there are. */
export async function recordCounts(db: KerbsideDatabase, raceId: string): Promise<RecordCounts> {
  return db.transaction('r', db.counters, db.records, async () => {
    const [counters, last] = await Promise.all([
      db.counters.get(raceId),
      db.records.where('[race+seq]').between([raceId, Dexie.minKey], [raceId, Dexie.maxKey]).last(),
    ]);
    return countsOf(counters, last ?? NONE_OWN);
  });
}

/** This device's name in the race, made at the first call. */
export async function ownDevice(db: KerbsideDatabase, raceId: string, moment: Moment): Promise<string> {
  return keepDevice(db, raceId, () => newCounters(raceId, moment));
}

/**
 * Takes `device`, under which the hub was joined, for this device's name in the race, unless it has one already.
 * Returns the name that stands.
 */
export async function adoptDevice(db: KerbsideDatabase, raceId: string, device: string): Promise<string> {
  return keepDevice(db, raceId, () => countersOf(raceId, device));
}

async function keepDevice(db: KerbsideDatabase, raceId: string, make: () => RecordCounters): Promise<string> {
  return db.transaction('rw', db.counters, async () => {
    const before = await db.counters.get(raceId);
    if (before) return before.device;
    const counters = make();
    await db.counters.add(counters);
    return counters.device;
  });
}

/**
 * Notes that the hub has these own records. One row is written, however many they are; records of another name of this
 * device, as before the race was erased and joined again, are passed over.
 */
export async function markHandedIn(
  db: KerbsideDatabase,
  raceId: string,
  records: readonly Pick<TallyRecord, 'device' | 'seq'>[],
): Promise<void> {
  if (!records.length) return;
  await changeCounters(db, raceId, (counters) => {
    const own = records.filter((record) => record.device === counters.device);
    return {
      handedIn: addSeqs(
        counters.handedIn,
        own.map((record) => record.seq),
      ),
    };
  });
  tellOfRecords(raceId, 'handedIn');
}

/**
 * Lets every own record wait again: a hub that is joined anew may have lost what it had, and what it still has it takes
 * again without harm.
 */
export async function requeueRecords(db: KerbsideDatabase, raceId: string): Promise<void> {
  await changeCounters(db, raceId, () => ({ handedIn: [] }));
  // They wait, as after a tap: to be sent.
  tellOfRecords(raceId, 'handedIn');
}

/** Notes that a hand-off file with all own records up to `upToSeq` was saved. They still wait for the hub. */
export async function markSavedToFile(db: KerbsideDatabase, raceId: string, upToSeq: number): Promise<void> {
  await changeCounters(db, raceId, ({ savedSeq }) => ({ savedSeq: Math.max(savedSeq, upToSeq) }));
  tellOfRecords(raceId, 'savedToFile');
}

async function changeCounters(
  db: KerbsideDatabase,
  raceId: string,
  change: (counters: RecordCounters) => Partial<RecordCounters>,
): Promise<void> {
  await db.transaction('rw', db.counters, async () => {
    const counters = await db.counters.get(raceId);
    if (counters) await db.counters.put({ ...counters, ...change(counters) });
  });
}
