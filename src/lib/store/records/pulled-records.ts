import { Dexie } from 'dexie';
import { failed, succeeded, type Outcome } from '../../records/outcome.ts';
import type { TallyRecord } from '../../records/record.ts';
import type { BlockIds, KerbsideDatabase, RecordBlock, RecordCounters } from '../database.ts';
import { ID_BYTES, IdSet, writeIdBytes } from './id-set.ts';
import { blockText, recordsOfBlock } from './record-block.ts';
import { newCounters, type Circumstances } from './record-counters.ts';
import { tellOfRecords } from './record-news.ts';
import { blockSubject, recordSubject } from './record-subject.ts';
import { storeFailure, type StoreFailure } from '../store-failure.ts';

const BLOCK_SIZE = 1000;

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
      const counters = (await db.counters.get(raceId)) ?? newCounters(raceId, circumstances);
      const known = await pulledIds(db, counters);
      const mine = records.filter((record) => record.device === counters.device).map((record) => record.id);
      const ownIds = new Set(mine.length ? await db.records.where('id').anyOf(mine).primaryKeys() : []);
      const fresh = records.filter((r) => r.race === raceId && !ownIds.has(r.id) && known.add(r.id));
      if (!fresh.length) return 0;
      const blocks = await appendToBlocks(db, counters, fresh);
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
  { race, blocks, pulled }: RecordCounters,
  fresh: readonly TallyRecord[],
): Promise<number> {
  // Full blocks need not be read.
  const last = blocks && pulled % BLOCK_SIZE ? await db.blocks.get([race, blocks]) : undefined;
  const held = last ? recordsOfBlock(last) : [];
  const open = held.length < BLOCK_SIZE ? held : [];
  const records = open.length ? [...open, ...fresh] : fresh;
  let block = open.length ? blocks : blocks + 1;
  const blockRows: RecordBlock[] = [];
  const idRows: BlockIds[] = [];
  for (let from = 0; from < records.length; from += BLOCK_SIZE, block += 1) {
    const part = records.slice(from, from + BLOCK_SIZE);
    const ids = new Uint8Array(part.length * ID_BYTES);
    part.forEach((record, i) => writeIdBytes(record.id, ids, i * ID_BYTES));
    const subjects = new Set(part.map(recordSubject).filter((subject) => subject !== undefined));
    blockRows.push({
      race,
      block,
      records: blockText(part),
      subjects: [...subjects].map((subject) => blockSubject(race, subject)),
    });
    idRows.push({ race, block, ids });
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
