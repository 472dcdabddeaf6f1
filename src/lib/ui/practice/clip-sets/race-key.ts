import type { ClipItem } from '../../../practice/practice-session.ts';
import { keyOfRace } from '../../../practice/key-of-race.ts';
import type { Race } from '../../../race/race.ts';
import type { TallyRecord } from '../../../records/record.ts';
import { viewOfRace } from '../../../sightings/race-view.ts';
import type { KerbsideDatabase } from '../../../store/database.ts';
import { eachRecordBatch } from '../../../store/records/records.ts';

/** The key of a race's own clips at a checkpoint. Of the records only what reviews and rulings need is held. */
export async function readRaceKey(db: KerbsideDatabase, race: Race, checkpoint: string): Promise<ClipItem[]> {
  const records: TallyRecord[] = [];
  await eachRecordBatch(db, race.id, (batch) => {
    for (const record of batch) {
      const tells = record.kind === 'sighting' ? record.method === 'clip' : record.kind !== 'mark';
      if (tells) records.push(record);
    }
  });
  return keyOfRace(viewOfRace(race, records), checkpoint);
}
