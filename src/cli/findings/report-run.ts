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
import { EXIT_DONE, EXIT_FAULT, type Io } from '../command.ts';
import { dateOf } from '../input/read-results.ts';
import { readRaceTables } from './read-race-tables.ts';
import { readSeason, type Season } from './read-season.ts';
import { readValidationFile } from '../input/read-tables.ts';
import { beginsWith } from '../output/refuse-outputs.ts';
import { writeFiles } from '../output/write-files.ts';
import type { AskedReport } from './report.ts';

/** Does what is asked of the command; the exit code. */
export async function runReport(asked: AskedReport, io: Io): Promise<number> {
  // All files are read before giving up, so that all that is wrong is said at once.
  const season = asked.season === null ? null : await readSeason(asked.season, asked, io);
  const page = asked.sightings === undefined ? undefined : await racePage(asked, season, io);
  if (page === null || (asked.season !== null && !season)) return EXIT_FAULT;
  const written = page ?? seasonPage(season!, asked);
  const file = { path: asked.out, pieces: [written], replaces: (path: string) => beginsWith(path, BEGINNING) };
  return (await writeFiles([file], { inputs: inputsOf(asked), force: asked.force }, io)) ? EXIT_DONE : EXIT_FAULT;
}

function inputsOf({ sightings, results, practice, validation, marks, season }: AskedReport): string[] {
  const lists = typeof season === 'string' ? [season] : (season ?? []).map(({ path }) => path);
  return [sightings, results, practice, validation, marks, ...lists].filter((path) => path !== undefined);
}

const seasonPage = ({ races, runners }: Season, { level }: AskedReport): string =>
  pageHtml('Several races', seasonReport({ pooled: poolRaces(races, runners, level), ...written(level) }));

const written = (level: number) => ({ level, version: about.version, made: new Date().toISOString() });

/** The page of one race; `null` when anything is wrong with its tables, which is then said. */
async function racePage(asked: AskedReport, season: Season | null, io: Io): Promise<string | null> {
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

function pageOf({ table, name, results, marks, findings, pooled, drawn }: ReadRace, asked: AskedReport): string {
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
