import { basename, dirname, resolve } from 'node:path';
import { SINGLE_FOOT_RULES, type SingleFootRule } from '../lib/sightings/runner-classes.ts';
import type { SightingTable } from '../lib/sightings/sighting-table.ts';
import { countsOfRace } from '../lib/findings/pool/counts-of-race.ts';
import { poolRaces } from '../lib/findings/pool/pool-races.ts';
import { raceCountsOf, type RaceCounts } from '../lib/findings/pool/race-counts.ts';
import { readFindings } from '../lib/findings/pool/read-findings.ts';
import { RunnersOverRacesCounter, type RunnersFound } from '../lib/findings/pool/runners-over-races.ts';
import { resolveRace } from '../lib/findings/resolved-race.ts';
import { readRacesList, type ListedRace } from '../lib/tables/races-csv.ts';
import { wrongCheckpoints } from './checkpoint-choice.ts';
import { makeCommand, type GivenOptions } from './command-options.ts';
import { EXIT_DONE, EXIT_FAULT, type Io } from './command.ts';
import { poolText } from './pool-text.ts';
import { raceLength } from '../lib/tables/organiser/pace-limits.ts';
import { readListFile } from './read-list.ts';
import { readSightingsFile, readWhole, sayFaults } from './read-tables.ts';

const OPTIONS = {
  races: { type: 'string' },
  level: { type: 'string' },
  'single-foot': { type: 'string' },
  json: { type: 'boolean' },
} as const;

interface NamedFile {
  readonly race: string;
  readonly path: string;
}

interface Asked {
  /** Findings files, or a list of tables. */
  readonly from: readonly NamedFile[] | string;
  readonly level: number;
  readonly singleFoot: SingleFootRule;
  readonly json: boolean;
}

/** All races, and people over them where there are tables. */
interface Season {
  readonly races: RaceCounts[];
  readonly runners: RunnersFound | null;
}

/** Says what several races say together. */
export const command = makeCommand({
  name: 'pool',
  summary: 'One answer from several races: pooled share, shift and trend, and people over races',
  usage: `Usage: npm run --silent kerbside -- pool FINDINGS.json FINDINGS.json … [--level 0.95] [--json]
       npm run --silent kerbside -- pool --races LIST.csv [--level 0.95]
         [--single-foot exclude|use] [--json]

Pools races by a random-effects model (REML, Hartung–Knapp) and prints the answer as text
or as one JSON object. A fault in any file is said on standard error; then nothing is
printed and the exit code is 2.

  FINDINGS.json        what kerbside analyse --json printed, one race each, named by the
                       file or as NAME=FINDINGS.json; holds no runner
  --races LIST.csv     race, sightings, results and, if wanted, early, late: tables of each
                       race, with paths from the list's folder; results may have a column
                       Runner code, by which people are followed over races
  --level L            level of all intervals, between 0 and 1; by default 0.95
  --single-foot RULE   with --races, a runner with one foot seen: exclude (default) leaves
                       them unclassified, use takes that foot's class
  --json               print JSON and nothing else
`,
  options: OPTIONS,
  takesFiles: true,
  understand,
  run,
});

async function run(asked: Asked, io: Io): Promise<number> {
  const season =
    typeof asked.from === 'string'
      ? await seasonOfTables(asked.from, asked, io)
      : await seasonOfFindings(asked.from, io);
  if (!season) return EXIT_FAULT;
  const pooled = poolRaces(season.races, season.runners, asked.level);
  const width = io.width ?? DEFAULT_WIDTH;
  io.out(asked.json ? `${JSON.stringify(pooled, null, 2)}\n` : poolText(pooled, asked.level, width));
  return EXIT_DONE;
}

/** Columns of a terminal that does not say how wide it is. */
const DEFAULT_WIDTH = 96;

/** Every file is read before giving up, so that all that is wrong is said at once. */
async function seasonOfFindings(files: readonly NamedFile[], io: Io): Promise<Season | null> {
  const races: RaceCounts[] = [];
  for (const { race, path } of files) {
    const bytes = await readWhole(path, 'findings', io);
    if (!bytes) continue;
    const read = readFindings(new TextDecoder().decode(bytes));
    if (read.ok) races.push(raceCountsOf(race, read.value));
    else for (const fault of read.error.faults) io.err(`${path}: ${fault}\n`);
  }
  return races.length === files.length ? { races, runners: null } : null;
}

async function seasonOfTables(list: string, asked: Asked, io: Io): Promise<Season | null> {
  const bytes = await readWhole(list, 'a list of races', io);
  if (!bytes) return null;
  const read = readRacesList(bytes);
  if (!read.ok) {
    sayFaults(io, list, read.error.faults, read.error.faultCount);
    return null;
  }
  const races: RaceCounts[] = [];
  const runners = new RunnersOverRacesCounter();
  for (const listed of read.value) {
    const counts = await takeRace(listed, list, asked, runners, io);
    if (counts) races.push(counts);
  }
  return races.length === read.value.length ? { races, runners: runners.found(asked.level) } : null;
}

/** Reads one race and adds its people; `null` when anything is wrong with its tables, which is then said. */
async function takeRace(
  listed: ListedRace,
  list: string,
  { level, singleFoot }: Asked,
  runners: RunnersOverRacesCounter,
  io: Io,
): Promise<RaceCounts | null> {
  const at = (path: string): string => resolve(dirname(list), path);
  const table = await readSightingsFile(at(listed.sightings), io);
  const known = { length: raceLength(undefined, table?.checkpoints.at(-1)?.km) };
  const results = listed.results === null ? [] : await readListFile(at(listed.results), 'results', { known }, io);
  if (!table || !results) return null;
  const wrong = wrongCheckpoints(
    table.checkpoints,
    'sighting',
    { early: listed.early ?? undefined, late: listed.late ?? undefined },
    (which) => `race ${listed.race}, ${which}`,
  );
  for (const fault of wrong) io.err(`${list}: ${fault}\n`);
  if (wrong.length > 0) return null;
  const early = placeOf(table, listed.early, 0);
  const late = placeOf(table, listed.late, table.checkpoints.length - 1);
  const race = resolveRace(table, singleFoot);
  const codeOfBib = new Map(results.flatMap(({ bib, runner }) => (runner === undefined ? [] : [[bib, runner]])));
  const single = table.checkpoints.length < 2;
  runners.add({ race, codeOfBib, shift: single ? null : { early, late } });
  return countsOfRace(listed.race, race, early, single ? early : late, level);
}

const placeOf = (table: SightingTable, name: string | null, otherwise: number): number =>
  name === null ? otherwise : table.checkpoints.findIndex((checkpoint) => checkpoint.name === name);

function understand({ values, files }: GivenOptions<typeof OPTIONS>): Asked | string {
  const level = values.level === undefined ? 0.95 : Number(values.level);
  if (!(level > 0 && level < 1)) return `--level: "${values.level}" is not a number between 0 and 1, such as 0.95`;
  const singleFoot = SINGLE_FOOT_RULES.find((rule) => rule === (values['single-foot'] ?? 'exclude'));
  if (!singleFoot) return `--single-foot: "${values['single-foot']}" is not one of ${SINGLE_FOOT_RULES.join(', ')}`;
  const { races } = values;
  if (races !== undefined && files.length > 0) return 'name findings files or a list with --races, not both';
  if (races !== undefined) return { from: races, level, singleFoot, json: values.json ?? false };
  if (files.length === 0) return 'name findings files, or a list of races with --races';
  if (values['single-foot']) return '--single-foot goes with --races: findings are classed already';
  const from = files.map(namedFile);
  const empty = from.find(({ race, path }) => race === '' || path === '');
  if (empty) return `"${empty.race}=${empty.path}" is not NAME=FINDINGS.json`;
  const twice = from.find(({ race }, i) => from.findIndex((other) => other.race === race) < i);
  if (twice) return `"${twice.race}" names two races; name one of them otherwise with NAME=FINDINGS.json`;
  return { from, level, singleFoot, json: values.json ?? false };
}

/** `NAME=FINDINGS.json`, or the file's own name without folder and ending. */
function namedFile(given: string): NamedFile {
  const at = given.indexOf('=');
  if (at >= 0) return { race: given.slice(0, at), path: given.slice(at + 1) };
  return { race: basename(given).replace(/\.json$/, ''), path: given };
}
