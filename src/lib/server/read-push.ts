import { type Outcome, succeeded } from '../domain/outcome.ts';
import { type PushMessage, pushSchema, type Rejected } from '../domain/wire.ts';
import type { Fault } from './fault.ts';
import { parseJson } from './parse-json.ts';
import { plainSightingAt } from './plain-sighting.ts';
import { readRecord, type SoundRecord } from './read-record.ts';

/** A push whose records have been read one by one: each is sound, or it is said what is wrong with it. */
export interface ReadPush extends Omit<PushMessage, 'records'> {
  readonly records: readonly (SoundRecord | Rejected)[];
}

const START = '{"records":[';
/** The end of the records and what else a push has. */
const REST = /\](?:,"(?:sentAt|lastSeq)":(?:"[\dTZ:.-]*"|\d+))*\}$/y;

/** Reads the body of a push. */
export function readPush(text: string): Outcome<ReadPush, Fault> {
  const split = splitPush(text);
  const message = parseJson(split ? split.message : text, pushSchema);
  if (!message.ok) return message;
  return succeeded({ ...message.value, records: split?.records ?? message.value.records.map(readRecord) });
}

/**
 * Reads the records of a push in the form in which tablets send it, straight from the text: parsing all of it first would take
 * a third of the hub's time. Null when it has another form, which says nothing against it.
 *
 * @returns the records, and as `message` the push with each of them replaced by 0
 */
function splitPush(text: string): { records: (SoundRecord | Rejected)[]; message: string } | null {
  if (!text.startsWith(START)) return null;
  const records: (SoundRecord | Rejected)[] = [];
  for (let at = START.length; ; at += 1) {
    const plain = plainSightingAt(text, at);
    const end = plain ? at + plain.line.length : text.indexOf('}', at) + 1;
    const record = plain ?? recordIn(text.slice(at, end));
    if (!record) return null;
    records.push(record);
    at = end;
    if (text[at] === ',') continue;
    REST.lastIndex = at;
    const zeros = '0,'.repeat(records.length).slice(0, -1);
    return REST.test(text) ? { records, message: START + zeros + text.slice(at) } : null;
  }
}

/** The record that a text is as a whole, or null when the text is no JSON: then it was cut in the wrong place. */
function recordIn(text: string): SoundRecord | Rejected | null {
  try {
    return readRecord(JSON.parse(text));
  } catch {
    return null;
  }
}
