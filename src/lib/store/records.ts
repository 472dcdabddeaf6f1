import { Dexie } from 'dexie';
import { utcInstant } from '../domain/instant.ts';
import { newId, type RandomBytes } from '../domain/new-id.ts';
import { failed, succeeded, type Outcome } from '../domain/outcome.ts';
import { RECORD_FIELDS, type TallyRecord } from '../domain/record.ts';
import type { BlockIds, KerbsideDatabase, RecordBlock, RecordCounters, StoredRecord } from './database.ts';
import { ID_BYTES, IdSet, writeIdBytes } from './id-set.ts';
import { tellOfRecords } from './record-news.ts';
import { storeFailure, type StoreFailure } from './store-failure.ts';

type Made = 'id' | 'device' | 'seq' | 'madeAt';
type WithoutMade<Whole> = Whole extends TallyRecord ? Omit<Whole, Made> : never;

/** A record as a screen knows it, before the store gives it its id, device, `seq` and `madeAt`. */
export type RecordDraft = WithoutMade<TallyRecord>;

/** What comes from outside: the clock in milliseconds since 1970 and a source of randomness. */
export interface Circumstances {
  readonly now: number;
  readonly randomBytes: RandomBytes;
  /** The id of a new record that has one already, because a file holds it; else one is made. */
  readonly id?: string | undefined;
}

export type RecordCounts = Omit<RecordCounters, 'race' | 'device' | 'blocks'>;

export interface KeptRecord {
  readonly record: TallyRecord;
  readonly counts: RecordCounts;
}

const BLOCK_SIZE = 1000;
/** The last millisecond that records can write. */
const LATEST_MS = Date.UTC(9999, 11, 31, 23, 59, 59, 999);

/** What a correction, withdrawal or ruling is about: a record's id, or a bib at a checkpoint. */
export function recordSubject(record: TallyRecord | RecordDraft): string | undefined {
  if (record.kind === 'sighting') return undefined;
  return record.kind === 'ruling' ? `${record.checkpoint}\u0000${record.bib}` : record.target;
}

const blockSubject = (raceId: string, subject: string) => `${raceId}\u0000${subject}`;

/**
 * Keeps one record for good. `seq`, `madeAt`, the record and the counters are one transaction that is flushed to the
 * disk (durability strict), so two tabs never share a `seq` and none is skipped. The answer comes when the record is
 * durable, not before; a failed write changes nothing and can be tried again.
 */
export async function addRecord(
  db: KerbsideDatabase,
  draft: RecordDraft,
  circumstances: Circumstances,
): Promise<Outcome<TallyRecord, StoreFailure>> {
  const kept = await addAndCount(db, draft, circumstances);
  return kept.ok ? succeeded(kept.value.record) : kept;
}

/** As `addRecord`; tells the race's counts after it too, which are at hand in the same transaction. */
export async function addAndCount(
  db: KerbsideDatabase,
  draft: RecordDraft,
  circumstances: Circumstances,
): Promise<Outcome<KeptRecord, StoreFailure>> {
  try {
    const kept = await tryToAdd(db, draft, circumstances).catch(async (error: unknown) => {
      if (!LOST_CONNECTION.has((error as Error).name)) throw error;
      // Some browsers drop the connection of a page that was long in the background: a new one works.
      db.close({ disableAutoOpen: false });
      return tryToAdd(db, draft, circumstances);
    });
    tellOfRecords(draft.race, 'added');
    return succeeded(kept);
  } catch (error) {
    return failed(storeFailure(error));
  }
}

const LOST_CONNECTION = new Set(['InvalidStateError', 'UnknownError']);

async function tryToAdd(
  db: KerbsideDatabase,
  draft: RecordDraft,
  { now, randomBytes, id = newId(now, randomBytes) }: Circumstances,
): Promise<KeptRecord> {
  if (!db.isOpen()) await db.open();
  // The browser's own calls: the library's promises would double the time from tap to flash on a slow tablet.
  const transaction = (db.backendDB() as IDBDatabase).transaction(
    draft.kind === 'sighting' ? ['records', 'counters'] : ['records', 'counters', 'blocks'],
    'readwrite',
    { durability: 'strict' },
  );
  const committed = whenCommitted(transaction);
  const written = writeRecord(transaction, draft, { now, randomBytes, id }).catch((error: unknown) => {
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

async function writeRecord(
  transaction: IDBTransaction,
  draft: RecordDraft,
  { now, randomBytes, id }: Circumstances & { readonly id: string },
): Promise<KeptRecord> {
  const counterRows = transaction.objectStore('counters');
  const counters =
    (await answerOf<RecordCounters | undefined>(counterRows.get(draft.race))) ??
    newCounters(draft.race, now, randomBytes);
  const subject = recordSubject(draft);
  const madeAtMs = subject === undefined ? now : await madeAtAfterOthers(transaction, draft.race, subject, now);
  const record = inFieldOrder({
    ...draft,
    id,
    device: counters.device,
    seq: counters.lastSeq + 1,
    madeAt: utcInstant(madeAtMs),
  } as TallyRecord);
  const bib = record.kind === 'sighting' || record.kind === 'correction' ? record.bib : undefined;
  const row: StoredRecord = {
    id: record.id,
    race: record.race,
    seq: record.seq,
    waiting: 1,
    ...(bib ? { bib } : {}),
    ...(subject === undefined ? {} : { subject }),
    record,
  };
  const talliedBefore =
    record.kind === 'withdrawal' ? await sightingStands(transaction, record.race, record.target) : undefined;
  transaction.objectStore('records').add(row);
  const talliedAfter =
    record.kind === 'withdrawal' ? await sightingStands(transaction, record.race, record.target) : undefined;
  const talliedChange = record.kind === 'sighting' ? 1 : Number(talliedAfter ?? false) - Number(talliedBefore ?? false);
  const after: RecordCounters = {
    ...counters,
    lastSeq: record.seq,
    waiting: counters.waiting + 1,
    tallied: counters.tallied + talliedChange,
  };
  counterRows.put(after);
  // Without it the browser waits for every request's event before it begins to flush.
  transaction.commit();
  return { record, counts: countsOf(after) };
}

/** This device's name in the race, made at the first call. */
export async function ownDevice(db: KerbsideDatabase, raceId: string, { now, randomBytes }: Circumstances) {
  return db.transaction('rw', db.counters, async () => {
    const before = await db.counters.get(raceId);
    if (before) return before.device;
    const counters = newCounters(raceId, now, randomBytes);
    await db.counters.add(counters);
    return counters.device;
  });
}

/**
 * Takes `device`, under which the hub was joined, for this device's name in the race, unless it has one already.
 * Returns the name that stands.
 */
export async function adoptDevice(db: KerbsideDatabase, raceId: string, device: string): Promise<string> {
  return db.transaction('rw', db.counters, async () => {
    const before = await db.counters.get(raceId);
    if (before) return before.device;
    await db.counters.add({ race: raceId, device, ...NO_RECORDS });
    return device;
  });
}

/** Counts of a race's records on this device; one read, however many there are. */
export async function recordCounts(db: KerbsideDatabase, raceId: string): Promise<RecordCounts> {
  return countsOf((await db.counters.get(raceId)) ?? NO_RECORDS);
}

/** Every record of the race on this device, own ones first, each id once. */
export async function allRecords(db: KerbsideDatabase, raceId: string): Promise<TallyRecord[]> {
  const all: TallyRecord[] = [];
  await eachRecordBatch(db, raceId, (records) => {
    for (const record of records) all.push(record);
  });
  return all;
}

/** Hands every record of the race to `visit` in batches of up to 1,000, own ones first by `seq`, each id once. */
export async function eachRecordBatch(
  db: KerbsideDatabase,
  raceId: string,
  visit: (records: TallyRecord[]) => void | Promise<void>,
): Promise<void> {
  let afterSeq = 0;
  for (;;) {
    const rows = await db.records
      .where('[race+seq]')
      .between([raceId, afterSeq], [raceId, Dexie.maxKey], false, true)
      .limit(BLOCK_SIZE)
      .toArray();
    const last = rows.at(-1);
    if (!last) break;
    await visit(rows.map((row) => row.record));
    afterSeq = last.seq;
  }
  const { blocks } = (await db.counters.get(raceId)) ?? NO_RECORDS;
  for (let block = 1; block <= blocks; block += 1) {
    const row = await db.blocks.get([raceId, block]);
    if (row) await visit(row.records);
  }
}

/** Own records that the hub does not have, by `seq`, from after `afterSeq` on. */
export async function waitingRecords(
  db: KerbsideDatabase,
  raceId: string,
  limit: number,
  afterSeq = 0,
): Promise<TallyRecord[]> {
  const rows = await db.records
    .where('[race+waiting+seq]')
    .between([raceId, 1, afterSeq], [raceId, 1, Dexie.maxKey], false, true)
    .limit(limit)
    .toArray();
  return rows.map((row) => row.record);
}

/** Own records of the race by `seq`, from after `afterSeq` on: what a hand-off file of this device holds. */
export async function ownRecords(
  db: KerbsideDatabase,
  raceId: string,
  limit = Infinity,
  afterSeq = 0,
): Promise<TallyRecord[]> {
  const rows = await db.records
    .where('[race+seq]')
    .between([raceId, afterSeq], [raceId, Dexie.maxKey], false, true)
    .limit(limit)
    .toArray();
  return rows.map((row) => row.record);
}

/** Notes that the hub has these records; ids that are not waiting here are passed over. Returns how many were. */
export async function markHandedIn(db: KerbsideDatabase, raceId: string, ids: readonly string[]): Promise<number> {
  const changed = await db.transaction('rw', db.records, db.counters, async () => {
    const rows = (await db.records.bulkGet([...ids])).filter(
      (row): row is StoredRecord => row?.race === raceId && row.waiting === 1,
    );
    const counters = await db.counters.get(raceId);
    if (!rows.length || !counters) return 0;
    const handedIn = new Map(rows.map((row) => [row.id, { ...row, waiting: 0 as const }]));
    await db.records.bulkPut([...handedIn.values()]);
    await db.counters.put({ ...counters, waiting: counters.waiting - handedIn.size });
    return handedIn.size;
  });
  if (changed) tellOfRecords(raceId, 'handedIn');
  return changed;
}

/**
 * Lets every own record wait again: a hub that is joined anew may have lost what it had, and what it still has it takes
 * again without harm.
 */
export async function requeueRecords(db: KerbsideDatabase, raceId: string): Promise<void> {
  await db.transaction('rw', db.records, db.counters, async () => {
    const counters = await db.counters.get(raceId);
    if (!counters || counters.waiting === counters.lastSeq) return;
    await db.records
      .where('[race+waiting+seq]')
      .between([raceId, 0, Dexie.minKey], [raceId, 0, Dexie.maxKey])
      .modify({ waiting: 1 });
    await db.counters.put({ ...counters, waiting: counters.lastSeq });
  });
  // They wait, as after a tap: to be sent.
  tellOfRecords(raceId, 'handedIn');
}

/** Notes that a hand-off file with all own records up to `upToSeq` was saved. They still wait for the hub. */
export async function markSavedToFile(db: KerbsideDatabase, raceId: string, upToSeq: number): Promise<void> {
  await db.transaction('rw', db.counters, async () => {
    const counters = await db.counters.get(raceId);
    if (counters && counters.savedSeq < upToSeq) await db.counters.put({ ...counters, savedSeq: upToSeq });
  });
  tellOfRecords(raceId, 'savedToFile');
}

/**
 * Keeps records that came from the hub or a hand-off file. Ids that are already here, own or pulled, are passed over: the
 * first stays. All or nothing. Faster with hundreds in a call than one by one.
 */
export async function addPulledRecords(
  db: KerbsideDatabase,
  raceId: string,
  records: readonly TallyRecord[],
  circumstances: Circumstances,
): Promise<Outcome<{ readonly added: number; readonly known: number }, StoreFailure>> {
  try {
    const added = await db.transaction('rw', [db.records, db.blocks, db.blockIds, db.counters], async () => {
      const counters =
        (await db.counters.get(raceId)) ?? newCounters(raceId, circumstances.now, circumstances.randomBytes);
      const known = await pulledIds(db, counters);
      const mine = records.filter((record) => record.device === counters.device).map((record) => record.id);
      const ownIds = new Set(mine.length ? await db.records.where('id').anyOf(mine).primaryKeys() : []);
      const fresh = records.filter((r) => r.race === raceId && !ownIds.has(r.id) && known.add(r.id));
      if (!fresh.length) return 0;
      const blocks = await appendToBlocks(db, raceId, counters.blocks, fresh);
      await db.counters.put({ ...counters, blocks, pulled: counters.pulled + fresh.length });
      return fresh.length;
    });
    if (added) tellOfRecords(raceId, 'pulled');
    return succeeded({ added, known: records.length - added });
  } catch (error) {
    // The set may now hold ids that were never written.
    knownIds.delete(db);
    return failed(storeFailure(error));
  }
}

/** Fills the last block, then new ones; returns the number of blocks there are then. */
async function appendToBlocks(
  db: KerbsideDatabase,
  raceId: string,
  blockCount: number,
  fresh: readonly TallyRecord[],
): Promise<number> {
  const last = blockCount ? await db.blocks.get([raceId, blockCount]) : undefined;
  const open = last && last.records.length < BLOCK_SIZE ? last.records : [];
  const records = open.length ? [...open, ...fresh] : fresh;
  let block = open.length ? blockCount : blockCount + 1;
  const blockRows: RecordBlock[] = [];
  const idRows: BlockIds[] = [];
  for (let from = 0; from < records.length; from += BLOCK_SIZE, block += 1) {
    const part = records.slice(from, from + BLOCK_SIZE);
    const ids = new Uint8Array(part.length * ID_BYTES);
    part.forEach((record, i) => writeIdBytes(record.id, ids, i * ID_BYTES));
    const subjects = new Set(part.map(recordSubject).filter((subject) => subject !== undefined));
    blockRows.push({
      race: raceId,
      block,
      records: part,
      subjects: [...subjects].map((subject) => blockSubject(raceId, subject)),
    });
    idRows.push({ race: raceId, block, ids });
  }
  await db.blocks.bulkPut(blockRows);
  await db.blockIds.bulkPut(idRows);
  return block - 1;
}

interface KnownIds {
  readonly device: string;
  readonly ids: IdSet;
  blocks: number;
}
const knownIds = new WeakMap<KerbsideDatabase, Map<string, KnownIds>>();

/** The ids of all pulled records of a race, read once and then kept; what another tab has pulled since is read too. */
async function pulledIds(db: KerbsideDatabase, counters: RecordCounters): Promise<IdSet> {
  const ofDatabase = knownIds.get(db) ?? new Map<string, KnownIds>();
  knownIds.set(db, ofDatabase);
  const held = ofDatabase.get(counters.race);
  const known = held?.device === counters.device ? held : { device: counters.device, ids: new IdSet(), blocks: 0 };
  ofDatabase.set(counters.race, known);
  if (known.ids.size !== counters.pulled) {
    await db.blockIds
      // The last block read may have grown.
      .where('[race+block]')
      .between([counters.race, known.blocks], [counters.race, Dexie.maxKey], true, true)
      .each((row) => known.ids.addBytes(row.ids));
  }
  known.blocks = counters.blocks;
  return known.ids;
}

/**
 * The newest own sightings, up to `limit`, with every record on this device that bears on them (corrections,
 * withdrawals, and what withdraws those), in no particular order.
 */
export async function recentRecords(db: KerbsideDatabase, raceId: string, limit: number): Promise<TallyRecord[]> {
  const sightings = await db.records
    .where('[race+seq]')
    .between([raceId, 0], [raceId, Dexie.maxKey])
    .reverse()
    .filter((row) => row.record.kind === 'sighting')
    .limit(limit)
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
    const about = [...own.map((row) => row.record), ...blocks.flatMap((block) => block.records)].filter((record) => {
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

const NO_RECORDS = { lastSeq: 0, tallied: 0, waiting: 0, savedSeq: 0, pulled: 0, blocks: 0 } as const;

const countsOf = ({ lastSeq, tallied, waiting, savedSeq, pulled }: RecordCounts): RecordCounts => ({
  lastSeq,
  tallied,
  waiting,
  savedSeq,
  pulled,
});

const newCounters = (race: string, now: number, randomBytes: RandomBytes): RecordCounters => ({
  race,
  device: newId(now, randomBytes),
  ...NO_RECORDS,
});

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
  const records = [...rows.map((row) => row.record), ...blocks.flatMap((block) => block.records)];
  const others = records.filter((record) => recordSubject(record) === subject);
  const latest = others.reduce((ms, record) => Math.max(ms, Date.parse(record.madeAt)), -Infinity);
  return Math.min(Math.max(now, latest + 1), LATEST_MS);
}

/** Whether the own sighting that a chain of withdrawals leads to stands; `false` for anything else. */
async function sightingStands(transaction: IDBTransaction, raceId: string, id: string): Promise<boolean> {
  const rows = transaction.objectStore('records');
  let root = await answerOf<StoredRecord | undefined>(rows.get(id));
  while (root?.record.kind === 'withdrawal') {
    root = await answerOf<StoredRecord | undefined>(rows.get(root.record.target));
  }
  return root?.record.kind === 'sighting' && !(await isWithdrawn(rows, raceId, root.id));
}

async function isWithdrawn(rows: IDBObjectStore, raceId: string, id: string): Promise<boolean> {
  const about = await answerOf<StoredRecord[]>(rows.index('[race+subject]').getAll([raceId, id]));
  for (const row of about) {
    if (row.record.kind === 'withdrawal' && !(await isWithdrawn(rows, raceId, row.id))) return true;
  }
  return false;
}

function answerOf<Answer>(request: IDBRequest): Promise<Answer> {
  return new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result as Answer);
    request.onerror = () => reject(request.error ?? new Error('request failed'));
  });
}

function whenCommitted(transaction: IDBTransaction): Promise<void> {
  return new Promise((resolve, reject) => {
    transaction.oncomplete = () => resolve();
    transaction.onabort = () => reject(transaction.error ?? new Error('the transaction was taken back'));
  });
}
