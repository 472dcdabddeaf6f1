import type { Race } from '../../../race/race.ts';
import type { TallyRecord } from '../../../records/record.ts';
import type { KerbsideDatabase } from '../../../store/database.ts';
import { recordCounts } from '../../../store/records/record-counters.ts';
import { allRecords } from '../../../store/records/records.ts';
import { findRace } from '../../../store/race/races.ts';
import { writeHandoff } from '../../../tables/handoff-file.ts';
import { nextTask } from '../../timing/next-task.ts';

/** Pieces written without a pause: some 700 records. */
const PIECES_A_TASK = 4;

/** Every record of a race on this device, as it is handed off. */
export interface DeviceHandoff {
  readonly race: Race;
  readonly records: readonly TallyRecord[];
  /** The last own record in it. */
  readonly lastSeq: number;
  /** The hand-off file, piece by piece. */
  readonly file: string[];
}

/** Reads it; nothing when the race is not on this device. */
export async function deviceHandoff(db: KerbsideDatabase, raceId: string): Promise<DeviceHandoff | undefined> {
  const stored = await findRace(db, raceId);
  if (!stored) return undefined;
  // Counted first: what is tallied while the file is written is not in it.
  const { lastSeq } = await recordCounts(db, raceId);
  const records = await allRecords(db, raceId);
  const file: string[] = [];
  for (const piece of writeHandoff(stored.race, records)) {
    file.push(piece);
    if (file.length % PIECES_A_TASK === 0) await nextTask();
  }
  return { race: stored.race, records, lastSeq, file };
}
