import * as v from 'valibot';
import { COMMON_FIELDS, recordIdSchema } from '../record-fields.ts';
import type { KindEntry } from './kind-entry.ts';

/** Records one acceptance may name. */
const MOST_TARGETS = 24;

/**
 * The lead looked at a doubt and accepts what it is about as it stands. Nothing changes; the doubt does not come again.
 * `settles` is its kind, `doubt` its key, `targets` the records it is about: none for a doubt about none.
 */
const schema = v.strictObject({
  ...COMMON_FIELDS,
  kind: v.literal('acceptance'),
  doubt: v.pipe(v.string(), v.regex(/^[0-9a-f]{16}$/, 'expected 16 hex digits')),
  settles: v.pipe(v.string(), v.regex(/^[a-z][a-z-]{0,31}$/, 'expected a kind of doubt')),
  targets: v.pipe(v.array(recordIdSchema), v.maxLength(MOST_TARGETS)),
});

export const acceptance = {
  number: 5,
  schema,
  leastRole: 'analyst',
  targets: null,
  toObservers: false,
  tallied: false,
  subject: null,
} as const satisfies KindEntry;
