import type { CheckInput } from '../../lib/check/input/check-input.ts';
import { checkRace } from '../../lib/check/check-race.ts';
import { inputOfRecords } from '../../lib/check/input/input-of-records.ts';
import { entriesOf, viewOfRace, type RaceView } from '../../lib/sightings/race-view.ts';
import { doubtsJson } from './doubts-json.ts';
import { doubtsText } from './doubts-text.ts';
import { inputOfTables } from './input-of-tables.ts';
import { marksAgainstSightings } from '../../lib/tables/clips/marks-against-sightings.ts';
import { SightingOrigins } from '../../lib/tables/sightings/sighting-origins.ts';
import { EXIT_DONE, EXIT_FAULT, USUAL_WIDTH, type Io } from '../command.ts';
import { readHandoff } from '../exchange/read-handoff.ts';
import { raceLength } from '../../lib/tables/organiser/pace-limits.ts';
import { readListFile } from '../input/read-list.ts';
import { inSightedBibs } from '../input/read-results.ts';
import { readMarksFile, readSightingsOfRace, sayFaults } from '../input/read-tables.ts';
import type { AskedCheck } from './check.ts';

/** Does what is asked of the command; the exit code. */
export async function runCheck(asked: AskedCheck, io: Io): Promise<number> {
  const input = await readInput(asked, io);
  if (!input) return EXIT_FAULT;
  const doubts = checkRace(input);
  io.out(asked.json ? doubtsJson(doubts, input) : doubtsText(doubts, input, io.width ?? USUAL_WIDTH));
  return EXIT_DONE;
}

/** Reads every file before it gives up, so that all that is wrong is said at once. */
async function readInput(asked: AskedCheck, io: Io): Promise<CheckInput | null> {
  const origins = new SightingOrigins();
  const read = asked.sightings === undefined ? null : await readSightingsOfRace(asked.sightings, io, origins);
  const table = read?.table;
  const content = asked.sightings === undefined ? await readHandoff(asked.files, io) : null;
  const view = content && viewOfRace(content.race, content.records);
  const course = table ? { km: asked.raceKm ?? undefined, checkpoints: table.checkpoints } : content?.race;
  const known = {
    length: raceLength(course?.km, course && Math.max(0, ...course.checkpoints.map(({ km }) => km))),
    finishClock: asked.finishClock,
  };
  const { options, sheet } = asked.list;
  const listedStarts = asked.startlist === undefined ? null : await readListFile(asked.startlist, 'startlist', {}, io);
  const listedResults =
    asked.results === undefined ? null : await readListFile(asked.results, 'results', { ...options, sheet, known }, io);
  const sighted = table?.bibs ?? (view ? bibsOf(view) : []);
  const startList = listedStarts && inSightedBibs(asked.startlist!, listedStarts, sighted, asked.list.bibs, io);
  const results = listedResults && inSightedBibs(asked.results!, listedResults, sighted, asked.list.bibs, io);
  const marks = asked.marks === undefined ? null : await readMarksFile(asked.marks, io);
  if (startList === undefined || results === undefined) return null;
  if (view) return inputOfRecords(view, { startList, results });
  if (!read || !table || marks === undefined) return null;
  const apart = marks ? marksAgainstSightings(marks, table, read.race) : [];
  if (asked.marks !== undefined) sayFaults(io, asked.marks, apart, apart.length);
  if (apart.length > 0) return null;
  const { startMs, finishClock, raceKm } = asked;
  const passages = marks?.table ?? null;
  return inputOfTables(table, { origins, startList, results, passages, startMs, finishClock, raceKm });
}

function bibsOf(view: RaceView): string[] {
  const bibs = new Set<string>();
  for (const { bib } of entriesOf(view)) if (bib !== null) bibs.add(bib);
  return [...bibs];
}
