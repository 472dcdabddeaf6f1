import { joinGathered, RecordGatherer, type GatheredRecords } from '../../../sightings/gathered-records.ts';
import {
  eachBlock,
  eachOwnBatch,
  type BlockOfRecords,
  type RecordSource,
} from '../../../store/records/record-batches.ts';
import type { SecondReader } from './second-reader.ts';
import { takeBlock } from './take-block.ts';

/** Blocks fetched in one go: a large race is read an eighth sooner than by eights. */
export const BLOCKS_AT_ONCE = 24;
/** Records read between two words of progress: the page draws each, and takes from the readers what that costs. */
export const TELL_EVERY = 25_000;
/** Fewer blocks are read before a second worker is up. */
const BLOCKS_FOR_TWO = 100;

/**
 * Reads a race's records into columns, a large race in two workers at once.
 *
 * @param tell is told now and then how many records have been read
 */
export async function gatherRace(
  source: RecordSource,
  second: SecondReader,
  raceId: string,
  tell: (done: number) => void,
): Promise<GatheredRecords> {
  const gatherer = new RecordGatherer();
  let [own, beside] = [0, 0];
  const tellOfMore = () => {
    if (gatherer.size - own < TELL_EVERY) return;
    own = gatherer.size;
    tell(own + beside);
  };
  const ownRecords = eachOwnBatch(source, raceId, (records) => {
    gatherer.take(records);
    tellOfMore();
  });
  // A fault is met when it is awaited, not before.
  ownRecords.catch(() => {});
  const blocks = await source.blockCount(raceId);
  const ownBlocks = blocks < BLOCKS_FOR_TWO ? blocks : Math.ceil(blocks / 2);
  const half =
    ownBlocks < blocks
      ? second.read({ raceId, first: ownBlocks + 1, last: blocks }, (done) => {
          beside = done;
          tell(own + beside);
        })
      : null;
  const take = (block: BlockOfRecords) => {
    takeBlock(gatherer, block);
    tellOfMore();
  };
  await ownRecords;
  await eachBlock(source, raceId, 1, ownBlocks, take, BLOCKS_AT_ONCE);
  if (!half) return gatherer.finish();
  const other = await half;
  if (other) return joinGathered(gatherer.finish(), other);
  await eachBlock(source, raceId, ownBlocks + 1, blocks, take, BLOCKS_AT_ONCE);
  return gatherer.finish();
}
