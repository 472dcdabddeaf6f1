// Reads some of a race's pulled records beside the findings worker: two cores read a large race in half the time.
import { RecordGatherer, type GatheredRecords } from '../../../sightings/gathered-records.ts';
import { eachBlock, type BlockOfRecords } from '../../../store/records/record-batches.ts';
import { storeOfPage } from '../../store-door/store-of-page.ts';
import { BLOCKS_AT_ONCE, TELL_EVERY } from './gather-race.ts';
import { takeBlock } from './take-block.ts';
import type { HalfReply, HalfRequest } from './half-messages.ts';

const { store } = storeOfPage();

async function read({ raceId, first, last }: HalfRequest): Promise<GatheredRecords> {
  const gatherer = new RecordGatherer();
  let told = 0;
  const take = (block: BlockOfRecords) => {
    takeBlock(gatherer, block);
    if (gatherer.size - told < TELL_EVERY) return;
    told = gatherer.size;
    postMessage({ kind: 'progress', done: told } satisfies HalfReply);
  };
  await eachBlock(store, raceId, first, last, take, BLOCKS_AT_ONCE);
  return gatherer.finish();
}

onmessage = (event: MessageEvent<HalfRequest>) => {
  void read(event.data).then(
    ({ ids, ...gathered }) => {
      const { checkpoint, bib, observer, seen, observedAtMs } = gathered;
      const words = ids.words();
      const columns = [words, checkpoint, bib, observer, seen, observedAtMs].map(({ buffer }) => buffer);
      const reply: HalfReply = { kind: 'gathered', ids: words, gathered };
      postMessage(reply, { transfer: columns as ArrayBuffer[] });
    },
    () => postMessage({ kind: 'failed' } satisfies HalfReply),
  );
};
