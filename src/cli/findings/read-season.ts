import { dirname, resolve } from 'node:path';
import type { ResultRow } from '../../lib/race/race.ts';
import type { SightingTable } from '../../lib/sightings/sighting-table.ts';
import { countsOfRace } from '../../lib/findings/pool/counts-of-race.ts';
import { raceCountsOf, type RaceCounts } from '../../lib/findings/pool/race-counts.ts';
import { readFindings } from '../../lib/findings/pool/read-findings.ts';
import { RunnersOverRacesCounter, type RunnersFound } from '../../lib/findings/pool/runners-over-races.ts';
import { resolveRace } from '../../lib/findings/resolved-race.ts';
import { readRacesList, type RaceListRow } from '../../lib/tables/races-csv.ts';
import { raceLength } from '../../lib/tables/organiser/pace-limits.ts';
import { wrongCheckpoints } from './checkpoint-choice.ts';
import type { Io } from '../command.ts';
import type { NamedFile, SeasonFiles } from './named-files.ts';
import type { ListChoice } from '../input/list-options.ts';
import type { RuleChoice } from '../input/rule-options.ts';
import { readListFile } from '../input/read-list.ts';
import { inSightedBibs } from '../input/read-results.ts';
import { readSightingsFile, readWhole, sayFaults } from '../input/read-tables.ts';

/** How races of a list are analysed. */
export interface SeasonRules extends RuleChoice {
  /** How the results are read. */
  readonly list: ListChoice;
}

/** All races, and people over them where there are tables. */
export interface Season {
  readonly races: RaceCounts[];
  readonly runners: RunnersFound | null;
}

/** Reads every race; `null` when anything is wrong with one, which is then said. */
export function readSeason(from: SeasonFiles, rules: SeasonRules, io: Io): Promise<Season | null> {
  return typeof from === 'string' ? seasonOfTables(from, rules, io) : seasonOfFindings(from, io);
}

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

async function seasonOfTables(list: string, rules: SeasonRules, io: Io): Promise<Season | null> {
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
    const counts = await takeRace(listed, list, rules, runners, io);
    if (counts) races.push(counts);
  }
  return races.length === read.value.length ? { races, runners: runners.found(rules.level) } : null;
}

/** Reads one race and adds its people; `null` when anything is wrong with its tables, which is then said. */
async function takeRace(
  listed: RaceListRow,
  list: string,
  { level, singleFoot, list: choice }: SeasonRules,
  runners: RunnersOverRacesCounter,
  io: Io,
): Promise<RaceCounts | null> {
  const at = (path: string): string => resolve(dirname(list), path);
  const table = await readSightingsFile(at(listed.sightings), io);
  const results = listed.results === null ? [] : await readResultsOf(at(listed.results), table, choice, io);
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

async function readResultsOf(
  path: string,
  table: SightingTable | undefined,
  { options, sheet, bibs }: ListChoice,
  io: Io,
): Promise<ResultRow[] | undefined> {
  const known = { length: raceLength(undefined, table?.checkpoints.at(-1)?.km) };
  const rows = await readListFile(path, 'results', { ...options, sheet, known }, io);
  return rows && table ? inSightedBibs(path, rows, table.bibs, bibs, io) : rows;
}

const placeOf = (table: SightingTable, name: string | null, otherwise: number): number =>
  name === null ? otherwise : table.checkpoints.findIndex((checkpoint) => checkpoint.name === name);
