// Reads some of a race's pulled records beside the findings worker: two cores read a large race in half the time.
import { RecordGatherer, type GatheredRecords } from '../../../sightings/gathered-records.ts';
import { KerbsideDatabase } from '../../../store/database.ts';
import { eachBlock } from '../../../store/records/records.ts';
import { HALF_SEPARATOR, type HalfReply, type HalfRequest } from './half-messages.ts';

const db = new KerbsideDatabase();

async function read({ raceId, first, last }: HalfRequest): Promise<GatheredRecords> {
  const gatherer = new RecordGatherer();
  let told = 0;
  await eachBlock(db, raceId, first, last, (records) => {
    gatherer.take(records);
    if (gatherer.size - told < 5000) return;
    told = gatherer.size;
    postMessage({ kind: 'progress', done: told } satisfies HalfReply);
  });
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
