import { type Attempt, succeeded } from '../../records/attempt.ts';
import { plainSightingAt } from '../../wire/plain-sighting.ts';
import { recordsInText, type SoundRecord } from '../../wire/record-list-text.ts';
import { MAX_PUSH_RECORDS, type PushMessage, pushSchema, type Rejected } from '../../wire/wire.ts';
import { type Fault, fault } from '../fault.ts';
import { parseJson } from '../parse-json.ts';
import { readRecord } from './read-record.ts';

/** A push whose records have been read one by one: each is sound, or it is said what is wrong with it. */
export interface ReadPush extends Omit<PushMessage, 'records'> {
  readonly records: readonly (SoundRecord | Rejected)[];
}

const START = '{"records":[';
/** The end of the records and what else a push has. */
const REST = /\](?:,"(?:sentAt|lastSeq)":(?:"[\dTZ:.-]*"|\d+))*\}$/y;

/** Reads the body of a push. */
export function readPush(text: string): Attempt<ReadPush, Fault> {
  const split = splitPush(text);
  if (split === 'too many') return fault('malformed', `records: expected at most ${MAX_PUSH_RECORDS} records`);
  const message = parseJson(split ? split.message : text, pushSchema);
  if (!message.ok) return message;
  return succeeded({ ...message.value, records: split?.records ?? message.value.records.map(readRecord) });
}

/**
 * Reads the records of a push in the form in which tablets send it, straight from the text. Null when it has another form,
 * which says nothing against it. Of more records than a push may have the rest is not read.
 *
 * @returns the records, and as `message` the push with each of them replaced by 0
 */
function splitPush(text: string): { records: (SoundRecord | Rejected)[]; message: string } | 'too many' | null {
  const list = text.startsWith(START)
    ? recordsInText(text, START.length, plainSightingAt, readRecord, MAX_PUSH_RECORDS)
    : null;
  if (!list) return null;
  if (list.records.length === MAX_PUSH_RECORDS && text[list.end] === ',') return 'too many';
  REST.lastIndex = list.end;
  if (!REST.test(text)) return null;
  const zeros = '0,'.repeat(list.records.length).slice(0, -1);
  return { records: list.records, message: START + zeros + text.slice(list.end) };
}
