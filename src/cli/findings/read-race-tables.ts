import type { RunnerAnswer } from '../../lib/practice/runner-answer.ts';
import type { ResultRow } from '../../lib/race/race.ts';
import { allCheckpoints } from '../../lib/findings/sections/gait/runner-gaits.ts';
import { marksAgainstSightings } from '../../lib/tables/clips/marks-against-sightings.ts';
import type { ReadMarks } from '../../lib/tables/clips/marks-reader.ts';
import type { ReadSightings } from '../../lib/tables/sightings/sightings-reader.ts';
import type { Io } from '../command.ts';
import { readResults } from '../input/read-results.ts';
import { readMarksFile, readPracticeFile, readSightingsOfRace, sayFaults } from '../input/read-tables.ts';
import { wrongCheckpoints } from './checkpoint-choice.ts';
import type { RaceChoice } from './race-options.ts';

/** What stands in the tables of a race; `null` for a table that nobody named. */
export interface RaceTables {
  readonly sightings: ReadSightings | null;
  readonly results: ResultRow[] | null;
  readonly marks: ReadMarks | null;
  readonly practice: RunnerAnswer[] | null;
  /** Whether the tables fit each other and the checkpoints asked for; what does not is said already. */
  readonly fit: boolean;
}

/**
 * Reads all tables of a race before giving up, so that all that is wrong is said at once.
 *
 * @param name the command, for what is wrong with its options
 * @returns `undefined` when anything is wrong within a table, which is then said on standard error
 */
export async function readRaceTables(name: string, asked: RaceChoice, io: Io): Promise<RaceTables | undefined> {
  const read = asked.sightings === undefined ? null : await readSightingsOfRace(asked.sightings, io);
  const results = asked.results === undefined ? null : await readResults(asked.results, read?.table, asked.list, io);
  const marks = asked.marks === undefined ? null : await readMarksFile(asked.marks, io);
  const practice = asked.practice === undefined ? null : await readPracticeFile(asked.practice, io);
  if (read === undefined || results === undefined || marks === undefined || practice === undefined) return undefined;
  const apart = read && marks ? marksAgainstSightings(marks, read.table, read.race) : [];
  if (apart.length > 0) sayFaults(io, asked.marks!, apart, apart.length);
  const places = read ? read.table.checkpoints : allCheckpoints(marks?.table.checkpoints ?? []);
  const wrong = wrongCheckpoints(places, read ? 'sighting' : 'mark', asked);
  for (const fault of wrong) io.err(`kerbside ${name}: ${fault}\n`);
  return { sightings: read, results, marks, practice, fit: apart.length + wrong.length === 0 };
}
