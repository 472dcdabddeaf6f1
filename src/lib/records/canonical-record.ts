import type { TallyRecord } from './record.ts';
import { RECORD_FIELDS } from './record-fields.ts';

/**
 * The one way to write a record: fields in the order of `RECORD_FIELDS`; what only repeats a default (`gait` run, an
 * empty `note`, `passed` or `timeEstimated` false) and every field the record does not have are left out. Two records say the same when, and only when,
 * their canonical forms are written alike.
 */
export function canonicalRecord<R extends TallyRecord>(record: R): R {
  const canonical: Record<string, unknown> = {};
  const given = record as Record<string, unknown>;
  for (const field of RECORD_FIELDS) {
    const value = given[field];
    if (value === undefined) continue;
    if (field === 'gait' && value === 'run') continue;
    if (field === 'note' && value === '') continue;
    if (value === false) continue;
    canonical[field] = value;
  }
  return canonical as R;
}

/** A record as one line of JSON without its line end: the same record always gives the same line. */
export function recordLine(record: TallyRecord): string {
  return JSON.stringify(canonicalRecord(record));
}

/** Whether two records say the same: `gait` run equals no `gait`, an empty note equals no note. */
export function sameRecord(a: TallyRecord, b: TallyRecord): boolean {
  return a === b || recordLine(a) === recordLine(b);
}
