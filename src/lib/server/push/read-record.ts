import * as v from 'valibot';
import { recordLine } from '../../records/canonical-record.ts';
import { recordSchema } from '../../records/record.ts';
import type { SoundRecord } from '../../wire/record-list-text.ts';
import type { Rejected } from '../../wire/wire.ts';
import { firstIssue } from '../first-issue.ts';

const LONGEST_ID = 64;

/** The record that a value is, or what is wrong with it. */
export function readRecord(value: unknown): SoundRecord | Rejected {
  const parsed = v.safeParse(recordSchema, value, { abortEarly: true });
  if (!parsed.success) return { id: idOf(value), reason: `malformed: ${firstIssue(parsed.issues)}` };
  return { record: parsed.output, line: recordLine(parsed.output) };
}

function idOf(value: unknown): string {
  const id = typeof value === 'object' && value !== null && 'id' in value ? value.id : undefined;
  return typeof id === 'string' ? id.slice(0, LONGEST_ID).toWellFormed() : '';
}
