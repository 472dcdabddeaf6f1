import * as v from 'valibot';
import { COMMON_FIELDS, recordIdSchema } from '../record-fields.ts';
import type { KindEntry } from './kind-entry.ts';

/** Takes any record back, another withdrawal included. */
const schema = v.strictObject({ ...COMMON_FIELDS, kind: v.literal('withdrawal'), target: recordIdSchema });

export const withdrawal = {
  number: 3,
  schema,
  leastRole: 'observer',
  targets: 'any',
  toObservers: true,
  tallied: false,
  subject: 'target',
} as const satisfies KindEntry;
