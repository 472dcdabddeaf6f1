import type { KerbsideDatabase } from '../database.ts';
import { eachRecordBatch } from './records.ts';

/** Ids of the checkpoints that records of the race on this device name; linear in the records. */
export async function checkpointsWithRecords(db: KerbsideDatabase, raceId: string): Promise<string[]> {
  const ids = new Set<string>();
  await eachRecordBatch(db, raceId, (records) => {
    for (const record of records) if ('checkpoint' in record && record.checkpoint) ids.add(record.checkpoint);
  });
  return [...ids];
}
