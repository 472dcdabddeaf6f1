import { utcInstant } from '../../records/instant.ts';
import { newId } from '../../records/new-id.ts';
import { failed, succeeded, type Attempt } from '../../records/attempt.ts';
import type { TallyRecord } from '../../records/record.ts';
import { RECORD_FIELDS } from '../../records/record-fields.ts';
import type { KerbsideDatabase, RecordBlock, RecordCounters, StoredRecord } from '../database.ts';
import { answerOf, whenCommitted } from '../idb-promises.ts';
import { recordsOfBlock } from './record-block.ts';
import { countsOf, newCounters, NONE_OWN, type Moment, type LastOwn, type RecordCounts } from './record-counters.ts';
import { tellOfRecords } from './record-news.ts';
import { blockSubject, recordSubject } from './record-subject.ts';
import { RaceErased, storeFailure, type StoreFailure } from '../store-failure.ts';

type Made = 'id' | 'device' | 'seq' | 'madeAt';
type WithoutMade<Whole> = Whole extends TallyRecord ? Omit<Whole, Made> : never;

/** A record as a screen knows it, before the store gives it its id, device, `seq` and `madeAt`. */
export type RecordDraft = WithoutMade<TallyRecord>;

export interface MomentOfAdding extends Moment {
  /** The id of a new record that has one already, because a file holds it; else one is made. */
  readonly id?: string | undefined;
}

export interface KeptRecord {
  readonly record: TallyRecord;
  readonly counts: RecordCounts;
}

/** The latest time that records can write, milliseconds since 1970. */
const LATEST_MS = Date.UTC(9999, 11, 31, 23, 59, 59, 999);

/**
 * Keeps one record for good, in one transaction that is flushed to the disk (durability strict). No two own records of a
 * race can have one `seq` (a unique index sees to it), and none is skipped. The answer comes when the record is durable,
 * not before; a failed write changes nothing and can be tried again.
 */
export async function addRecord(
  db: KerbsideDatabase,
  draft: RecordDraft,
  moment: MomentOfAdding,
): Promise<Attempt<TallyRecord, StoreFailure>> {
  const kept = await addAndCount(db, draft, moment);
  return kept.ok ? succeeded(kept.value.record) : kept;
}

/** As `addRecord`; tells the race's counts after it too, which are at hand in the same transaction. */
export async function addAndCount(
  db: KerbsideDatabase,
  draft: RecordDraft,
  { now, randomBytes, id = newId(now, randomBytes) }: MomentOfAdding,
): Promise<Attempt<KeptRecord, StoreFailure>> {
  const moment = { now, randomBytes, id };
  try {
    const kept = await tryToAdd(db, draft, moment).catch(async (error: unknown) => {
      if (!LOST_CONNECTION.has((error as Error).name)) throw error;
      // Some browsers drop the connection of a page that was long in the background: a new one works.
      db.close({ disableAutoOpen: false });
      return tryToAdd(db, draft, moment);
    });
    // After the feedback: nobody who hears of it is in that haste.
    setTimeout(() => tellOfRecords(draft.race, 'added'));
    return succeeded(kept);
  } catch (error) {
    return failed(storeFailure(error));
  }
}

const TAKEN_BACK = new Set(['ConstraintError', 'AbortError']);
const LOST_CONNECTION = new Set(['InvalidStateError', 'UnknownError']);

type Making = Moment & { readonly id: string };

interface Remembered {
  readonly device: string;
  readonly last: LastOwn;
}
/** Where the own records of each race ended when this page last wrote one. */
const remembered = new WeakMap<KerbsideDatabase, Map<string, Remembered>>();

async function tryToAdd(db: KerbsideDatabase, draft: RecordDraft, making: Making): Promise<KeptRecord> {
  if (!db.isOpen()) await db.open();
  const ofRaces = remembered.get(db) ?? new Map<string, Remembered>();
  remembered.set(db, ofRaces);
  const before = ofRaces.get(draft.race);
  const kept =
    (before && draft.kind === 'sighting' ? await addAtOnce(db, draft, making, before) : undefined) ??
    (await readAndAdd(db, draft, making));
  ofRaces.set(draft.race, {
    device: kept.record.device,
    last: { seq: kept.record.seq, tallied: kept.counts.tallied },
  });
  return kept;
}

// The browser's own calls here and below: the library's promises would double the time from tap to flash on a slow tablet.
function strictTransaction(db: KerbsideDatabase, stores: string[]): IDBTransaction {
  return (db.backendDB() as IDBDatabase).transaction(stores, 'readwrite', { durability: 'strict' });
}

/**
 * Adds a sighting after the record that this page wrote last, without reading first: one way to the disk and back.
 * `undefined` when another tab wrote in between or the race was erased; nothing of it has stayed then.
 */
async function addAtOnce(
  db: KerbsideDatabase,
  draft: RecordDraft,
  { now, id }: Making,
  { device, last }: Remembered,
): Promise<KeptRecord | undefined> {
  const row = newRow(draft, { id, device, madeAtMs: now, after: last, talliedChange: 1 });
  const transaction = strictTransaction(db, ['records', 'counters']);
  const committed = whenCommitted(transaction);
  const asked = transaction.objectStore('counters').get(draft.race) as IDBRequest<RecordCounters | undefined>;
  transaction.objectStore('records').add(row);
  // Without it the browser waits for every request's event before it begins to flush.
  transaction.commit();
  try {
    await committed;
  } catch (error) {
    // The `seq` was taken by another tab. WebKit takes such a transaction back without a reason, Firefox with a request's:
    // what else it might have been shows again when the record is made anew after reading.
    if (transaction.error === null || TAKEN_BACK.has(transaction.error.name)) return undefined;
    throw error;
  }
  const counters = asked.result;
  if (counters?.device === device) {
    return { record: row.record, counts: countsOf(counters, row) };
  }
  // The race was erased meanwhile. Its last record must not stand here alone.
  const removing = strictTransaction(db, ['records']);
  removing.objectStore('records').delete(id);
  await whenCommitted(removing);
  return undefined;
}

/** Adds a record of any kind, after reading in the same transaction what it depends on. */
async function readAndAdd(db: KerbsideDatabase, draft: RecordDraft, making: Making): Promise<KeptRecord> {
  const transaction = strictTransaction(db, ['races', 'records', 'counters', 'blocks']);
  const committed = whenCommitted(transaction);
  const written = writeRecord(transaction, draft, making).catch((error: unknown) => {
    // Half of it must not stay. An aborted transaction throws here, and is what is wanted.
    try {
      transaction.abort();
    } catch {
      // It has ended already.
    }
    throw error;
  });
  const [kept] = await Promise.all([written, committed]);
  return kept;
}

async function writeRecord(transaction: IDBTransaction, draft: RecordDraft, making: Making): Promise<KeptRecord> {
  const { race } = draft;
  const rows = transaction.objectStore('records');
  const [isHere, found, end] = await Promise.all([
    answerOf<IDBValidKey | undefined>(transaction.objectStore('races').getKey(race)),
    answerOf<RecordCounters | undefined>(transaction.objectStore('counters').get(race)),
    answerOf<IDBCursorWithValue | null>(
      rows.index('[race+seq]').openCursor(IDBKeyRange.bound([race, -Infinity], [race, Infinity]), 'prev'),
    ),
  ]);
  if (isHere === undefined) throw new RaceErased();
  const counters = found ?? newCounters(race, making);
  if (!found) transaction.objectStore('counters').add(counters);
  const subject = recordSubject(draft);
  const madeAtMs = subject === undefined ? making.now : await madeAtAfterOthers(transaction, race, subject, making.now);
  const row = newRow(draft, {
    ...{ id: making.id, device: counters.device, madeAtMs },
    ...{ after: (end?.value as StoredRecord | undefined) ?? NONE_OWN, talliedChange: 0 },
  });
  rows.add(row);
  const talliedChange =
    draft.kind === 'sighting'
      ? 1
      : draft.kind === 'withdrawal'
        ? await talliedChangeBy(rows, race, row.id, draft.target)
        : 0;
  if (talliedChange) {
    row.tallied += talliedChange;
    rows.put(row);
  }
  transaction.commit();
  return { record: row.record, counts: countsOf(counters, row) };
}

interface RowMaking {
  readonly id: string;
  readonly device: string;
  readonly madeAtMs: number;
  readonly after: LastOwn;
  readonly talliedChange: number;
}

function newRow(draft: RecordDraft, { id, device, madeAtMs, after, talliedChange }: RowMaking): StoredRecord {
  const seq = after.seq + 1;
  const record = inFieldOrder({ ...draft, id, device, seq, madeAt: utcInstant(madeAtMs) } as TallyRecord);
  const bib = record.kind === 'sighting' || record.kind === 'correction' ? record.bib : undefined;
  const subject = recordSubject(record);
  return {
    ...{ id, race: record.race, seq, tallied: after.tallied + talliedChange },
    ...(bib ? { bib } : {}),
    ...(subject === undefined ? {} : { subject }),
    record,
  };
}

/** Fields in the order in which every file writes them; those that say nothing are left out. */
function inFieldOrder(record: TallyRecord): TallyRecord {
  const given: Readonly<Record<string, unknown>> = record;
  return Object.fromEntries(
    RECORD_FIELDS.filter((field) => given[field] !== undefined).map((field) => [field, given[field]]),
  ) as TallyRecord;
}

/** The clock or, if later, 1 ms after the latest `madeAt` held on the same subject: so that a wrong clock cannot win. */
async function madeAtAfterOthers(
  transaction: IDBTransaction,
  raceId: string,
  subject: string,
  now: number,
): Promise<number> {
  const own = transaction.objectStore('records').index('[race+subject]');
  const pulled = transaction.objectStore('blocks').index('subjects');
  const [rows, blocks] = await Promise.all([
    answerOf<StoredRecord[]>(own.getAll([raceId, subject])),
    answerOf<RecordBlock[]>(pulled.getAll(blockSubject(raceId, subject))),
  ]);
  const records = [...rows.map((row) => row.record), ...blocks.flatMap(recordsOfBlock)];
  const others = records.filter((record) => recordSubject(record) === subject);
  const latest = others.reduce((ms, record) => Math.max(ms, Date.parse(record.madeAt)), -Infinity);
  return Math.min(Math.max(now, latest + 1), LATEST_MS);
}

/** By how many the own sightings that stand change with the withdrawal `id`, just written, of `target`. */
async function talliedChangeBy(rows: IDBObjectStore, raceId: string, id: string, target: string): Promise<number> {
  const after = await sightingStands(rows, raceId, target);
  const before = await sightingStands(rows, raceId, target, id);
  return Number(after) - Number(before);
}

/**
 * Whether the own sighting that a chain of withdrawals leads to stands; `false` for anything else.
 *
 * @param without a record that is taken as not there
 */
async function sightingStands(rows: IDBObjectStore, raceId: string, id: string, without?: string): Promise<boolean> {
  let root = await answerOf<StoredRecord | undefined>(rows.get(id));
  while (root?.record.kind === 'withdrawal') {
    root = await answerOf<StoredRecord | undefined>(rows.get(root.record.target));
  }
  return root?.record.kind === 'sighting' && !(await isWithdrawn(rows, raceId, root.id, without));
}

async function isWithdrawn(rows: IDBObjectStore, raceId: string, id: string, without?: string): Promise<boolean> {
  const about = await answerOf<StoredRecord[]>(rows.index('[race+subject]').getAll([raceId, id]));
  for (const row of about) {
    if (row.record.kind !== 'withdrawal' || row.id === without) continue;
    if (!(await isWithdrawn(rows, raceId, row.id, without))) return true;
  }
  return false;
}
