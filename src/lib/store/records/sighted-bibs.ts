import type { KerbsideDatabase } from '../database.ts';
import { eachRecordBatch } from './records.ts';

/** Every bib of a sighting of the race on this device, as it was entered. */
export async function sightedBibs(db: KerbsideDatabase, raceId: string): Promise<readonly string[]> {
  const bibs = new Set<string>();
  await eachRecordBatch(db, raceId, (records) => {
    for (const record of records) if (record.kind === 'sighting' && record.bib) bibs.add(record.bib.trim());
  });
  return [...bibs];
}
