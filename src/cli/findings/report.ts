import about from '../../../package.json' with { type: 'json' };
import { analyse } from '../../lib/findings/analyse.ts';
import { earlyAndLate } from '../../lib/race/early-and-late.ts';
import { fieldOf } from '../../lib/findings/field.ts';
import { clubPage } from '../../lib/findings/report/club-page.ts';
import { pageHtml } from '../../lib/findings/report/report-html.ts';
import { reviewerReport } from '../../lib/findings/report/reviewer-report.ts';
import type { ReportSource } from '../../lib/findings/report/report-source.ts';
import { runnerSheets } from '../../lib/findings/report/runner-sheets.ts';
import { isSightingOf, runnerFigures } from '../../lib/findings/sections/gait/runner-figures.ts';
import { resolveRace } from '../../lib/findings/resolved-race.ts';
import { supplementOf } from '../../lib/findings/supplement.ts';
import type { ResultRow } from '../../lib/race/race.ts';
import type { SightingTable } from '../../lib/sightings/sighting-table.ts';
import type { PassageTable } from '../../lib/clips/passage.ts';
import type { Findings } from '../../lib/findings/findings.ts';
import type { Pooled } from '../../lib/findings/pool/pooled.ts';
import { poolRaces } from '../../lib/findings/pool/pool-races.ts';
import { drawsOfRows } from '../../lib/findings/sections/corrected/draws-of-rows.ts';
import { validationStates } from '../../lib/findings/sections/corrected/validation-draw.ts';
import { seasonReport } from '../../lib/findings/report/season-report.ts';
import type { DrawnRow } from '../../lib/tables/clips/validation-csv.ts';
import { makeCommand, type GivenOptions } from '../command-options.ts';
import { EXIT_DONE, EXIT_FAULT, type Io } from '../command.ts';
import { dateOf } from '../input/read-results.ts';
import { RACE_OPTIONS, RACE_USAGE, raceChoice, type RaceChoice } from './race-options.ts';
import { readRaceTables } from './read-race-tables.ts';
import { namedFiles, readSeason, type Season, type SeasonFiles } from './read-season.ts';
import { readValidationFile } from '../input/read-tables.ts';
import { beginsWith } from '../output/refuse-outputs.ts';
import { writeFiles } from '../output/write-files.ts';

const OPTIONS = {
  ...RACE_OPTIONS,
  out: { type: 'string' },
  validation: { type: 'string' },
  pool: { type: 'string', multiple: true },
  races: { type: 'string' },
  club: { type: 'boolean' },
  runners: { type: 'string' },
  force: { type: 'boolean' },
} as const;

/** Without sightings it is a report of several races alone. */
interface Asked extends RaceChoice {
  readonly out: string;
  readonly validation: string | undefined;
  readonly season: SeasonFiles | null;
  readonly club: boolean;
  /** Bibs, or the codes that stand for them. */
  readonly runners: readonly string[];
  readonly force: boolean;
}

/** Writes a report of a race as one page that needs nothing else. */
export const command = makeCommand({
  name: 'report',
  summary: 'Write the findings as a report, a club page or runners’ sheets in one HTML file',
  usage: `Usage: npm run --silent kerbside -- report --sightings FILE.csv [--results FILE.csv]
         --out FILE.html [--practice FILE.csv] [--validation FILE.csv]
         [--marks FILE.csv] [--club] [--runners CODE,CODE…] [--pool FINDINGS.json …] [--early CHECKPOINT
         --late CHECKPOINT] [--level 0.95] [--single-foot exclude|use] [--force]
       npm run --silent kerbside -- report --pool FINDINGS.json --pool FINDINGS.json …
         --out FILE.html [--level 0.95] [--force]

Writes one HTML file that works offline and prints with page numbers: by default the report for
a reviewer, with methods, results, and where each item of STROBE and GRRAS is answered. Faults
of the tables are said as "analyse" says them.

  --practice FILE        practice clips with their key: shares are corrected for what their
                         observers misread, as by "analyse"
  --validation FILE      validation.csv of an export: who was drawn for review on clip, so that
                         the report says whether those reviewed were drawn at random
  --marks FILE           marks on clips, for the figures of gait
  --pool FINDINGS.json   a race of several that are pooled, once for each, as "pool" takes
                         them: the answer is added or, without --sightings, is the report
  --races LIST.csv       the races to pool as a list of tables, in place of --pool
  --club                 one page for a club evening in place of the report
  --runners CODE,CODE…   a sheet for each of these bibs or codes in place of the report
  --force                replace a file that is there also if it is no such report
${RACE_USAGE}`,
  options: OPTIONS,
  understand,
  run,
});

async function run(asked: Asked, io: Io): Promise<number> {
  // All files are read before giving up, so that all that is wrong is said at once.
  const season = asked.season === null ? null : await readSeason(asked.season, asked, io);
  const page = asked.sightings === undefined ? undefined : await racePage(asked, season, io);
  if (page === null || (asked.season !== null && !season)) return EXIT_FAULT;
  const written = page ?? seasonPage(season!, asked);
  const file = { path: asked.out, pieces: [written], replaces: (path: string) => beginsWith(path, BEGINNING) };
  return (await writeFiles([file], { inputs: inputsOf(asked), force: asked.force }, io)) ? EXIT_DONE : EXIT_FAULT;
}

function inputsOf({ sightings, results, practice, validation, marks, season }: Asked): string[] {
  const lists = typeof season === 'string' ? [season] : (season ?? []).map(({ path }) => path);
  return [sightings, results, practice, validation, marks, ...lists].filter((path) => path !== undefined);
}

const seasonPage = ({ races, runners }: Season, { level }: Asked): string =>
  pageHtml('Several races', seasonReport({ pooled: poolRaces(races, runners, level), ...written(level) }));

const written = (level: number) => ({ level, version: about.version, made: new Date().toISOString() });

/** The page of one race; `null` when anything is wrong with its tables, which is then said. */
async function racePage(asked: Asked, season: Season | null, io: Io): Promise<string | null> {
  const race = await readRaceTables('report', asked, io);
  const drawn = asked.validation === undefined ? null : await readValidationFile(asked.validation, io);
  if (!race?.sightings || drawn === undefined) return null;
  const { table, race: name } = race.sightings;
  const known = new Set(table.checkpoints.map((checkpoint) => checkpoint.name));
  const strange = new Set((drawn ?? []).map(({ checkpoint }) => checkpoint).filter((one) => !known.has(one)));
  for (const one of strange) io.err(`${asked.validation}: there is no sighting at "${one}"\n`);
  if (!race.fit || strange.size > 0) return null;
  if (known.size === 0) {
    io.err(`${asked.sightings}: there is no sighting to report\n`);
    return null;
  }
  const { results, practice } = race;
  const marks = race.marks?.table ?? null;
  const findings = analyse(table, results, { ...asked, practice: practice ?? undefined, marks });
  const pooled = season && poolRaces(season.races, season.runners, asked.level);
  return pageOf({ table, name: name || 'Race', results, marks, findings, pooled, drawn }, asked);
}

interface ReadRace {
  readonly table: SightingTable;
  readonly name: string;
  readonly results: readonly ResultRow[] | null;
  readonly marks: PassageTable | null;
  readonly findings: Findings;
  readonly pooled: Pooled | null;
  readonly drawn: readonly DrawnRow[] | null;
}

const BEGINNING = '<!doctype html>\n<html lang="en">\n<head>\n<meta charset="utf-8">';

function pageOf({ table, name, results, marks, findings, pooled, drawn }: ReadRace, asked: Asked): string {
  const { level, singleFoot } = asked;
  const places = earlyAndLate(table.checkpoints, asked);
  const { early, late } = places.ok ? places.value : { early: 0, late: 0 };
  const resolved = resolveRace(table, singleFoot);
  const field = results && fieldOf(results, table.bibs);
  const focus = [...new Set([early, late])];
  const source: ReportSource = {
    findings,
    supplement: supplementOf({ race: resolved, field, early, late, level }, () => undefined),
    race: {
      id: '',
      name,
      date: dateOf(table) ?? '',
      checkpoints: table.checkpoints.map((one) => ({ id: one.name, ...one })),
    },
    focus: focus.map((at) => table.checkpoints[at]!.name),
    chosen: drawn && validationStates(resolved, drawsOfRows(drawn), focus),
    ...{ ...written(level), singleFoot, season: pooled },
  };
  const measured = marks ? runnerFigures(marks, asked.runners, isSightingOf(table)) : {};
  const parts = [
    ...(asked.club ? [clubPage(source)] : []),
    ...(asked.runners.length > 0 ? [runnerSheets(source, resolved, field, asked.runners, measured)] : []),
  ];
  return pageHtml(name, parts.length > 0 ? parts.join('\n') : reviewerReport(source));
}

/** What says something of one race. */
const ONE_RACE = ['results', 'practice', 'validation', 'marks', 'club', 'runners', 'early', 'late'] as const;

function understand({ values }: GivenOptions<typeof OPTIONS>): Asked | string {
  const season = values.races ?? namedFiles(values.pool ?? []);
  if (values.races !== undefined && values.pool)
    return 'name findings files with --pool or a list with --races, not both';
  if (typeof season === 'string' && values.races === undefined) return season;
  if (!values.sightings && season.length === 0) return 'name the sightings file with --sightings';
  if (!values.sightings && ONE_RACE.some((option) => values[option] !== undefined)) {
    return 'races are pooled without --sightings: nothing else of one race goes with them';
  }
  if (!values.out) return 'say with --out where the report is to be written';
  const race = raceChoice(values);
  if (typeof race === 'string') return race;
  return {
    ...race,
    out: values.out,
    validation: values.validation,
    season: season.length > 0 ? season : null,
    club: values.club ?? false,
    runners: (values.runners ?? '')
      .split(',')
      .map((code) => code.trim())
      .filter(Boolean),
    force: values.force ?? false,
  };
}
