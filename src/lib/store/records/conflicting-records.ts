import { sameRecord } from '../../records/canonical-record.ts';
import type { TallyRecord } from '../../records/record.ts';
import type { KerbsideDatabase } from '../database.ts';
import { eachRecordBatch } from './records.ts';

/** Ids of those of `records` that are on this device with other content. */
export async function conflictingRecords(
  db: KerbsideDatabase,
  raceId: string,
  records: readonly TallyRecord[],
): Promise<string[]> {
  const byId = new Map(records.map((record) => [record.id, record]));
  const conflicts: string[] = [];
  await eachRecordBatch(db, raceId, (here) => {
    for (const record of here) {
      const other = byId.get(record.id);
      if (other && !sameRecord(other, record)) conflicts.push(record.id);
    }
  });
  return conflicts;
}
