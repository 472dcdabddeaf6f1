import type { CheckInput } from '../../lib/check/input/check-input.ts';
import { checkRace } from '../../lib/check/check-race.ts';
import { inputOfRecords } from '../../lib/check/input/input-of-records.ts';
import { entriesOf, viewOfRace, type RaceView } from '../../lib/sightings/race-view.ts';
import { doubtsJson } from './doubts-json.ts';
import { doubtsText } from './doubts-text.ts';
import { inputOfTables } from './input-of-tables.ts';
import { instantOfBytes } from '../../lib/tables/csv/instant-of-bytes.ts';
import { marksAgainstSightings } from '../../lib/tables/clips/marks-against-sightings.ts';
import { SightingOrigins } from '../../lib/tables/sightings/sighting-origins.ts';
import { makeCommand, type GivenOptions } from '../command-options.ts';
import { EXIT_DONE, EXIT_FAULT, USUAL_WIDTH, type Io } from '../command.ts';
import { readHandoff } from '../exchange/read-handoff.ts';
import { raceLength } from '../../lib/tables/organiser/pace-limits.ts';
import { listChoice, READING_OPTIONS, READING_USAGE, type ListChoice } from '../input/list-options.ts';
import { readListFile } from '../input/read-list.ts';
import { inSightedBibs } from '../input/read-results.ts';
import { readMarksFile, readSightingsOfRace, sayFaults } from '../input/read-tables.ts';

const OPTIONS = {
  sightings: { type: 'string' },
  startlist: { type: 'string' },
  results: { type: 'string' },
  ...READING_OPTIONS,
  marks: { type: 'string' },
  start: { type: 'string' },
  'finish-clock': { type: 'string' },
  km: { type: 'string' },
  json: { type: 'boolean' },
} as const;

interface Asked {
  readonly sightings: string | undefined;
  /** Hand-off files. */
  readonly files: readonly string[];
  readonly startlist: string | undefined;
  readonly results: string | undefined;
  readonly list: ListChoice;
  readonly marks: string | undefined;
  readonly startMs: number | null;
  readonly finishClock: 'gun' | 'net' | null;
  readonly raceKm: number | null;
  readonly json: boolean;
}

/** Lists what the lead should look at. */
export const command = makeCommand({
  name: 'check',
  summary: 'List misread bibs, disputes, odd times, double entries and what is missing',
  usage: `Usage: npm run --silent kerbside -- check (--sightings FILE.csv | FILE.ndjson…)
         [--startlist FILE.csv] [--results FILE.csv] [--json] [OPTIONS ON THE RESULTS]
         with a table also [--marks FILE.csv] [--start DATE-TIME] [--finish-clock gun|net] [--km KM]

Prints the doubts of a race, worst first. Nothing is changed. Hand-off files hold all that
the Check screen goes by, decisions and set-up included. A sightings table does not: a hole
in a tablet's counting may be a correction or a withdrawal, what the lead has left as it is
comes again, and bibs put right teach nothing of how the others were misread. Its columns device, seq and offset_ms set clocks right and show the holes.

  --sightings FILE    the sightings table
  --startlist FILE    who may be running; without it no bib is called unlisted
  --results FILE      finish times, one row for each starter
  --marks FILE        the marks on clips, as the export writes them: their figures are checked too
  --start DATE-TIME   start of the race with its offset, such as 2026-10-04T09:00:00+01:00
  --finish-clock C    whether finish times count from the gun or from the start line (net)
  --km KM             length of the course
  --json              {doubts: [{kind, checkpoint, bib, records, candidates}]} and nothing else
How the results are read, and the bibs of the start list met:
${READING_USAGE}`,
  options: OPTIONS,
  takesFiles: true,
  understand,
  run,
});

async function run(asked: Asked, io: Io): Promise<number> {
  const input = await readInput(asked, io);
  if (!input) return EXIT_FAULT;
  const doubts = checkRace(input);
  io.out(asked.json ? doubtsJson(doubts, input) : doubtsText(doubts, input, io.width ?? USUAL_WIDTH));
  return EXIT_DONE;
}

function understand({ values, files }: GivenOptions<typeof OPTIONS>): Asked | string {
  if (!values.sightings && files.length === 0) return 'name the sightings table with --sightings, or hand-off files';
  if (values.sightings && files.length > 0) return 'name either a sightings table or hand-off files';
  const ofTable = (['marks', 'start', 'finish-clock', 'km'] as const).find((option) => values[option] !== undefined);
  if (files.length > 0 && ofTable) return `--${ofTable}: hand-off files say it themselves`;
  const clock = values['finish-clock'];
  if (clock !== undefined && clock !== 'gun' && clock !== 'net') {
    return `--finish-clock: "${clock}" is not one of gun, net`;
  }
  const km = values.km === undefined ? null : Number(values.km);
  if (km !== null && !(km > 0 && Number.isFinite(km))) return `--km: "${values.km}" is not a distance greater than 0`;
  const start = values.start === undefined ? null : startOf(values.start);
  if (Number.isNaN(start)) {
    return `--start: "${values.start}" is not an RFC 3339 date-time with offset, such as 2026-10-04T09:00:00+01:00`;
  }
  const list = listChoice({ ...values, km: undefined, start: undefined });
  if (typeof list === 'string') return list;
  return {
    sightings: values.sightings,
    files,
    list,
    startlist: values.startlist,
    results: values.results,
    marks: values.marks,
    startMs: start,
    finishClock: clock ?? null,
    raceKm: km,
    json: values.json ?? false,
  };
}

function startOf(text: string): number {
  const bytes = new TextEncoder().encode(text);
  return instantOfBytes(bytes, 0, bytes.length);
}

/** Reads every file before it gives up, so that all that is wrong is said at once. */
async function readInput(asked: Asked, io: Io): Promise<CheckInput | null> {
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
