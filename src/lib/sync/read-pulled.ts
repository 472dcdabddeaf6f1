import * as v from 'valibot';
import { recordSchema, type TallyRecord } from '../records/record.ts';
import { recordsInText } from '../wire/record-list-text.ts';
import { pulledSchema, type Pulled } from '../wire/wire.ts';

const START = '{"records":[';

/** Reads a page of records in the form in which the hub writes it; undefined leaves it to parsing and the schema. */
export function readPulled(text: string): Pulled | undefined {
  const list = text.startsWith(START) ? recordsInText(text, START.length, soundRecord) : null;
  if (!list) return undefined;
  const records: TallyRecord[] = [];
  for (const one of list.records) {
    if (!one) return undefined;
    records.push(one.record);
  }
  try {
    const rest = v.safeParse(pulledSchema, JSON.parse(START + text.slice(list.end)));
    return rest.success ? { ...rest.output, records } : undefined;
  } catch {
    return undefined;
  }
}

function soundRecord(value: unknown): { readonly record: TallyRecord } | undefined {
  const read = v.safeParse(recordSchema, value);
  return read.success ? { record: read.output } : undefined;
}
