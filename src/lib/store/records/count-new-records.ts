import type { TallyRecord } from '../../records/record.ts';
import type { KerbsideDatabase } from '../database.ts';
import { eachRecordBatch } from './records.ts';

/** How many of `records`, each id once, are not on this device yet. */
export async function countNewRecords(
  db: KerbsideDatabase,
  raceId: string,
  records: readonly TallyRecord[],
): Promise<number> {
  const missing = new Set(records.map((record) => record.id));
  await eachRecordBatch(db, raceId, (here) => {
    for (const { id } of here) missing.delete(id);
  });
  return missing.size;
}
