import { recordLine, sameRecord } from './canonical-record.ts';
import { compareCodePoints } from './code-point-order.ts';
import type { TallyRecord } from './record.ts';

/** One id under which different records were found: somebody's file or program is broken. */
export interface RecordConflict {
  readonly id: string;
  /** The different contents in the order of their lines; the first is the one that stands in the union. */
  readonly contents: readonly TallyRecord[];
}

export interface RecordUnion {
  /** Each id once, in id order. */
  readonly records: readonly TallyRecord[];
  /** In id order; empty when all is well. */
  readonly conflicts: readonly RecordConflict[];
}

/**
 * The union of any number of sets of records. Order and repetition of what comes in make no difference to what comes
 * out, not even where one id has two contents: the content whose line is the lesser stands, and the conflict is reported.
 *
 * Linear for records in id order, or in a few runs that are, as devices keep them; any other order costs a sort.
 */
export function mergeRecords(...sets: Iterable<TallyRecord>[]): RecordUnion {
  const sorted: TallyRecord[] = [];
  let inOrder = true;
  let previous = '';
  for (const set of sets) {
    for (const record of set) {
      inOrder &&= record.id > previous;
      previous = record.id;
      sorted.push(record);
    }
  }
  return inOrder ? { records: sorted, conflicts: [] } : withEachIdOnce(sorted.sort(byIdOrder));
}

/** Ids are hexadecimal digits and hyphens, so that JavaScript's own order of texts is their order by code point. */
function byIdOrder(a: TallyRecord, b: TallyRecord): number {
  return a.id < b.id ? -1 : a.id > b.id ? 1 : 0;
}

function withEachIdOnce(sorted: readonly TallyRecord[]): RecordUnion {
  const records: TallyRecord[] = [];
  const conflicts: RecordConflict[] = [];
  for (let start = 0; start < sorted.length;) {
    const { id } = sorted[start] as TallyRecord;
    let end = start + 1;
    while (end < sorted.length && sorted[end]?.id === id) end += 1;
    const contents = distinct(sorted.slice(start, end));
    records.push(contents[0] as TallyRecord);
    if (contents.length > 1) conflicts.push({ id, contents });
    start = end;
  }
  return { records, conflicts };
}

/** The different contents among records of one id, the lesser line first. */
function distinct(records: readonly TallyRecord[]): readonly TallyRecord[] {
  if (records.length === 1) return records;
  const contents: TallyRecord[] = [];
  for (const record of records) if (!contents.some((content) => sameRecord(content, record))) contents.push(record);
  return contents.sort((a, b) => compareCodePoints(recordLine(a), recordLine(b)));
}
