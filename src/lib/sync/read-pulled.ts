import * as v from 'valibot';
import { recordSchema } from '../records/record.ts';
import type { RecordHead } from '../records/record-head.ts';
import { plainSightingHeadAt } from '../wire/plain-sighting.ts';
import { recordsInText, type SoundRecord } from '../wire/record-list-text.ts';
import { pulledSchema, type Pulled } from '../wire/wire.ts';

const START = '{"records":[';

/** A page as the store takes it. */
export interface PulledText extends Omit<Pulled, 'records'> {
  readonly heads: readonly RecordHead[];
  /** Each record as JSON text. */
  readonly lines: readonly string[];
}

/** Reads a page of records in the form in which the hub writes it; undefined leaves it to parsing and the schema. */
export function readPulled(text: string): PulledText | undefined {
  const list = text.startsWith(START) ? recordsInText(text, START.length, plainSightingHeadAt, soundRecord) : null;
  if (!list) return undefined;
  const heads: RecordHead[] = [];
  const lines: string[] = [];
  for (const one of list.records) {
    if (!one) return undefined;
    heads.push(one.record);
    lines.push(one.line);
  }
  try {
    const rest = v.safeParse(pulledSchema, JSON.parse(START + text.slice(list.end)));
    return rest.success ? { heads, lines, cursor: rest.output.cursor, more: rest.output.more } : undefined;
  } catch {
    return undefined;
  }
}

function soundRecord(value: unknown): SoundRecord | undefined {
  const read = v.safeParse(recordSchema, value);
  return read.success ? { record: read.output, line: JSON.stringify(read.output) } : undefined;
}

/** The same of a page that was parsed and held against the schema. */
export function asPulledText({ records, cursor, more }: Pulled): PulledText {
  return { heads: records, lines: records.map((record) => JSON.stringify(record)), cursor, more };
}
