import type { TallyRecord } from '../../records/record.ts';
import type { RecordBlock } from '../database.ts';

/** Each record as JSON text. */
export const linesOf = (records: readonly TallyRecord[]): string[] => records.map((record) => JSON.stringify(record));

/** The records of a block as the database holds them: a text takes a quarter of the time that a thousand objects do. */
export const blockText = (lines: readonly string[]): string => `[${lines.join(',')}]`;

export function recordsOfBlock({ records }: Pick<RecordBlock, 'records'>): TallyRecord[] {
  return typeof records === 'string' ? (JSON.parse(records) as TallyRecord[]) : records;
}
