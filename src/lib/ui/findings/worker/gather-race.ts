import { joinGathered, RecordGatherer, type GatheredRecords } from '../../../sightings/gathered-records.ts';
import type { KerbsideDatabase } from '../../../store/database.ts';
import { blockCount, eachBlock, eachOwnBatch } from '../../../store/records/records.ts';
import { HALF_SEPARATOR, type HalfReply, type HalfRequest } from './half-messages.ts';

/** Fewer blocks are read before a second worker is up. */
const BLOCKS_FOR_TWO = 100;

/**
 * Reads a race's records into columns, a large race in two workers at once.
 *
 * @param tell is told every few thousand records how many have been read
 */
export async function gatherRace(
  db: KerbsideDatabase,
  raceId: string,
  tell: (done: number) => void,
): Promise<GatheredRecords> {
  const blocks = await blockCount(db, raceId);
  const ownBlocks = blocks < BLOCKS_FOR_TWO ? blocks : Math.ceil(blocks / 2);
  let [own, beside] = [0, 0];
  const half =
    ownBlocks < blocks
      ? readBeside({ raceId, first: ownBlocks + 1, last: blocks }, (done) => {
          beside = done;
          tell(own + beside);
        })
      : null;
  const gatherer = new RecordGatherer();
  const take = (records: Parameters<RecordGatherer['take']>[0]) => {
    gatherer.take(records);
    if (gatherer.size - own < 5000) return;
    own = gatherer.size;
    tell(own + beside);
  };
  await eachOwnBatch(db, raceId, take);
  await eachBlock(db, raceId, 1, ownBlocks, take);
  if (!half) return gatherer.finish();
  const other = await half;
  if (other) return joinGathered(gatherer.finish(), other);
  await eachBlock(db, raceId, ownBlocks + 1, blocks, take);
  return gatherer.finish();
}

/** What a second worker reads; `null` where there can be none, or it could not: its part is then read here. */
function readBeside(request: HalfRequest, tell: (done: number) => void): Promise<GatheredRecords | null> {
  return new Promise((resolve) => {
    if (typeof Worker === 'undefined') {
      resolve(null);
      return;
    }
    const worker = new Worker(new URL('./half-worker.ts', import.meta.url), { type: 'module' });
    const end = (gathered: GatheredRecords | null) => {
      worker.terminate();
      resolve(gathered);
    };
    worker.onerror = () => end(null);
    worker.onmessage = ({ data }: MessageEvent<HalfReply>) => {
      if (data.kind === 'progress') tell(data.done);
      else if (data.kind === 'failed') end(null);
      else end({ ...data.gathered, ids: data.ids === '' ? [] : data.ids.split(HALF_SEPARATOR) });
    };
    worker.postMessage(request);
  });
}
