// Unpacks and reads what came whole off the page: the largest hand-off takes seconds.
import type { TallyRecord } from '../../records/record.ts';
import { confirmationCode } from '../../screen/confirmation-code.ts';
import { unpackPayload } from '../../screen/unpack-payload.ts';
import { readHandoffFiles, type HandoffContent } from '../../tables/handoff-file.ts';
import { observersIn } from '../handoff/observers-in.ts';
import type { HandoffSummary, ReadAnswer, ReadAsked } from './read-messages.ts';
import { unpackTools } from './unpack-tools.ts';

/** Records handed over at once: some milliseconds of the page on a slow tablet. */
const BATCH = 500;

let records: readonly TallyRecord[] = [];
let handedOver = 0;

/** @param called what the payload is called in a sentence about a fault */
async function read(payload: Uint8Array, called: string): Promise<ReadAnswer> {
  const unpacked = await unpackPayload(payload, await unpackTools());
  if (!unpacked.ok) return { kind: 'damaged' };
  const { file, digest } = unpacked.value;
  const content = await readHandoffFiles([{ name: called, chunks: [file] }]);
  if (!content.ok) return { kind: 'faults', faults: content.error.faults };
  records = content.value.records;
  return { kind: 'summary', summary: summaryOf(content.value, confirmationCode(digest)) };
}

function summaryOf({ race, records }: HandoffContent, confirmation: string): HandoffSummary {
  const made = records.map((record) => record.madeAt).sort();
  return {
    race,
    observers: observersIn(records),
    times: made.length > 0 ? [made[0]!, made.at(-1)!] : null,
    confirmation,
  };
}

function nextBatch(): ReadAnswer {
  const batch = records.slice(handedOver, handedOver + BATCH);
  handedOver += batch.length;
  return { kind: 'records', records: batch };
}

onmessage = async ({ data }: MessageEvent<ReadAsked>) => {
  const answer = (message: ReadAnswer) => postMessage(message);
  try {
    answer(data === 'next' ? nextBatch() : await read(data.payload, data.called));
  } catch (error) {
    answer({ kind: 'failed', message: error instanceof Error ? error.message : String(error) });
  }
};
