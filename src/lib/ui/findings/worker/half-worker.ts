// Reads some of a race's pulled records beside the findings worker: two cores read a large race in half the time.
import { RecordGatherer, type GatheredRecords } from '../../../sightings/gathered-records.ts';
import { eachBlock } from '../../../store/records/record-batches.ts';
import { storeOfPage } from '../../store-door/store-of-page.ts';
import { BLOCKS_AT_ONCE } from './gather-race.ts';
import { HALF_SEPARATOR, type HalfReply, type HalfRequest } from './half-messages.ts';

const { store } = storeOfPage();

async function read({ raceId, first, last }: HalfRequest): Promise<GatheredRecords> {
  const gatherer = new RecordGatherer();
  let told = 0;
  const take = (batch: Parameters<RecordGatherer['take']>[0]) => {
    gatherer.take(batch);
    if (gatherer.size - told < 5000) return;
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
      const columns = [checkpoint, bib, observer, seen, observedAtMs].map(({ buffer }) => buffer);
      // One text is copied in no time, half a million are not.
      const reply: HalfReply = { kind: 'gathered', ids: ids.join(HALF_SEPARATOR), gathered };
      postMessage(reply, { transfer: columns as ArrayBuffer[] });
    },
    () => postMessage({ kind: 'failed' } satisfies HalfReply),
  );
};
