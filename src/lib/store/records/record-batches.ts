import type { TallyRecord } from '../../records/record.ts';
import type { RecordBlock } from '../database.ts';
import { recordsOfBlock } from './record-block.ts';

/** Where a race's records are read: the device's database, or the page's in a worker. */
export interface RecordSource {
  /** How many blocks of pulled records a race has; they are numbered from 1. */
  blockCount: (raceId: string) => Promise<number>;
  /** Own records by `seq`, at most `limit`, from after `afterSeq` on. */
  ownRecords: (raceId: string, limit: number, afterSeq: number) => Promise<TallyRecord[]>;
  /** The blocks `first` to `last`, in their order. */
  blocks: (raceId: string, first: number, last: number) => Promise<BlockOfRecords[]>;
}

export type BlockOfRecords = Pick<RecordBlock, 'records'>;

type Visit = (records: TallyRecord[]) => void | Promise<void>;

/** Read in some milliseconds, so that a page that reads for a worker goes on hearing taps. */
const BATCH_SIZE = 500;
/** Blocks that are fetched in one go: a few hundred kilobytes each. */
const BLOCKS_AHEAD = 8;

/** Every record of the race, own ones first, each id once. */
export async function gatherRecords(source: RecordSource, raceId: string): Promise<TallyRecord[]> {
  const all: TallyRecord[] = [];
  await eachBatch(source, raceId, (records) => {
    for (const record of records) all.push(record);
  });
  return all;
}

/** Hands every record of the race to `visit` in batches, own ones first by `seq`, each id once. */
export async function eachBatch(source: RecordSource, raceId: string, visit: Visit): Promise<void> {
  await eachOwnBatch(source, raceId, visit);
  await eachBlock(source, raceId, 1, await source.blockCount(raceId), (block) => visit(recordsOfBlock(block)));
}

/** Hands the own records of a race to `visit`, by `seq`, in batches. */
export async function eachOwnBatch(source: RecordSource, raceId: string, visit: Visit): Promise<void> {
  for (let afterSeq = 0; ;) {
    const records = await source.ownRecords(raceId, BATCH_SIZE, afterSeq);
    const last = records.at(-1);
    if (!last) break;
    await visit(records);
    afterSeq = last.seq;
  }
}

/**
 * Hands the blocks `first` to `last` of a race's pulled records to `visit`, one by one.
 *
 * @param ahead blocks that are fetched in one go
 */
export async function eachBlock(
  source: RecordSource,
  raceId: string,
  first: number,
  last: number,
  visit: (block: BlockOfRecords) => void | Promise<void>,
  ahead = BLOCKS_AHEAD,
): Promise<void> {
  const fetch = (from: number) => source.blocks(raceId, from, Math.min(from + ahead - 1, last));
  let coming = first <= last ? fetch(first) : null;
  for (let from = first; coming; from += ahead) {
    const rows = await coming;
    // The database fetches the next ones while these are in work.
    coming = from + ahead <= last ? fetch(from + ahead) : null;
    // A fault is met when it is awaited, not before.
    coming?.catch(() => {});
    for (const row of rows) await visit(row);
  }
}
