import { Dexie } from 'dexie';
import { failed, succeeded, type Attempt } from '../../records/attempt.ts';
import type { TallyRecord } from '../../records/record.ts';
import type { RecordHead } from '../../records/record-head.ts';
import type { BlockIds, KerbsideDatabase, RecordBlock, RecordCounters } from '../database.ts';
import { ID_BYTES, IdSet, writeIdBytes } from './id-set.ts';
import { blockText, linesOf, recordsOfBlock } from './record-block.ts';
import { newCounters, type Moment } from './record-counters.ts';
import { tellOfRecords } from './record-news.ts';
import { blockSubject, recordSubject } from './record-subject.ts';
import { storeFailure, type StoreFailure } from '../store-failure.ts';

const BLOCK_SIZE = 1000;

/** Records on their way into blocks. */
interface Incoming {
  readonly heads: readonly RecordHead[];
  /** Each as JSON text. */
  readonly lines: readonly string[];
  /** The 16 bytes of each id, one after the other. */
  readonly ids: DataView<ArrayBuffer>;
}

/**
 * Keeps records that came from the hub or a hand-off file. Ids that are already here, own or pulled, are passed over: the
 * first stays. All or nothing. Faster with hundreds in a call than one by one.
 */
export function addPulledRecords(
  db: KerbsideDatabase,
  raceId: string,
  records: readonly TallyRecord[],
  moment: Moment,
): Promise<Attempt<{ readonly added: number; readonly known: number }, StoreFailure>> {
  return addPulledLines(db, raceId, records, linesOf(records), moment);
}

/**
 * The same where the texts are at hand.
 *
 * @param lines each record as JSON text
 */
export async function addPulledLines(
  db: KerbsideDatabase,
  raceId: string,
  heads: readonly RecordHead[],
  lines: readonly string[],
  moment: Moment,
): Promise<Attempt<{ readonly added: number; readonly known: number }, StoreFailure>> {
  // Before the transaction: while another holds the tables this is done already.
  const incoming = { heads, lines, ids: idsOf(heads) };
  try {
    const added = await db.transaction('rw', [db.records, db.blocks, db.blockIds, db.counters], async () => {
      const counters = (await db.counters.get(raceId)) ?? newCounters(raceId, moment);
      const known = await pulledIds(db, counters);
      const mine = heads.filter(({ device }) => device === counters.device).map(({ id }) => id);
      const ownIds = new Set(mine.length ? await db.records.where('id').anyOf(mine).primaryKeys() : []);
      const fresh = chosen(
        incoming,
        ({ race, id }, i) => race === raceId && !ownIds.has(id) && known.addFrom(incoming.ids, i * ID_BYTES),
      );
      const count = fresh.heads.length;
      if (count === 0) return 0;
      const blocks = await appendToBlocks(db, counters, fresh);
      await db.counters.put({ ...counters, blocks, pulled: counters.pulled + count });
      return count;
    });
    if (added) tellOfRecords(raceId, 'pulled');
    return succeeded({ added, known: heads.length - added });
  } catch (error) {
    // The set may now hold ids that were never written.
    knownIds.delete(db);
    return failed(storeFailure(error));
  }
}

function idsOf(heads: readonly RecordHead[]): DataView<ArrayBuffer> {
  const bytes = new Uint8Array(heads.length * ID_BYTES);
  heads.forEach(({ id }, i) => writeIdBytes(id, bytes, i * ID_BYTES));
  return new DataView(bytes.buffer);
}

/** Those that `take` wants; mostly all. */
function chosen(incoming: Incoming, take: (head: RecordHead, i: number) => boolean): Incoming {
  const { heads, lines } = incoming;
  const taken = heads.map(take);
  if (!taken.includes(false)) return incoming;
  const left = heads.filter((_, i) => taken[i]);
  return { heads: left, lines: lines.filter((_, i) => taken[i]), ids: idsOf(left) };
}

/** Fills the last block, then new ones; returns the number of blocks there are then. */
async function appendToBlocks(
  db: KerbsideDatabase,
  { race, blocks, pulled }: RecordCounters,
  fresh: Incoming,
): Promise<number> {
  // Full blocks need not be read.
  const last = blocks && pulled % BLOCK_SIZE ? await db.blocks.get([race, blocks]) : undefined;
  const held = last ? recordsOfBlock(last) : [];
  const open = held.length < BLOCK_SIZE ? held : [];
  const { heads, lines, ids } = open.length ? joined(open, fresh) : fresh;
  let block = open.length ? blocks : blocks + 1;
  const blockRows: RecordBlock[] = [];
  const idRows: BlockIds[] = [];
  for (let from = 0; from < heads.length; from += BLOCK_SIZE, block += 1) {
    const to = Math.min(from + BLOCK_SIZE, heads.length);
    const part = heads.slice(from, to);
    const subjects = new Set(part.map(recordSubject).filter((subject) => subject !== undefined));
    blockRows.push({
      race,
      block,
      records: blockText(lines.slice(from, to)),
      subjects: [...subjects].map((subject) => blockSubject(race, subject)),
    });
    idRows.push({ race, block, ids: new Uint8Array(ids.buffer.slice(from * ID_BYTES, to * ID_BYTES)) });
  }
  await db.blocks.bulkPut(blockRows);
  await db.blockIds.bulkPut(idRows);
  return block - 1;
}

function joined(open: readonly TallyRecord[], { heads, lines }: Incoming): Incoming {
  const all = [...open, ...heads];
  return { heads: all, lines: [...linesOf(open), ...lines], ids: idsOf(all) };
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
