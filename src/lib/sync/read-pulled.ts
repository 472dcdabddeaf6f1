import * as v from 'valibot';
import { recordSchema, type TallyRecord } from '../records/record.ts';
import { recordsInText, type SoundRecord } from '../wire/record-list-text.ts';
import { pulledSchema, type Pulled } from '../wire/wire.ts';

const START = '{"records":[';

/** A page whose records are at hand as JSON text as well. */
export interface PulledText extends Pulled {
  readonly lines: readonly string[];
}

/** Reads a page of records in the form in which the hub writes it; undefined leaves it to parsing and the schema. */
export function readPulled(text: string): PulledText | undefined {
  const list = text.startsWith(START) ? recordsInText(text, START.length, soundRecord) : null;
  if (!list) return undefined;
  const records: TallyRecord[] = [];
  const lines: string[] = [];
  for (const one of list.records) {
    if (!one) return undefined;
    records.push(one.record);
    lines.push(one.line);
  }
  try {
    const rest = v.safeParse(pulledSchema, JSON.parse(START + text.slice(list.end)));
    return rest.success ? { ...rest.output, records, lines } : undefined;
  } catch {
    return undefined;
  }
}

function soundRecord(value: unknown): SoundRecord | undefined {
  const read = v.safeParse(recordSchema, value);
  return read.success ? { record: read.output, line: JSON.stringify(read.output) } : undefined;
}
