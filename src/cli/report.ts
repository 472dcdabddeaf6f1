import { version } from '../../package.json';
import { analyse } from '../lib/findings/analyse.ts';
import { earlyAndLate } from '../lib/findings/early-and-late.ts';
import { fieldOf } from '../lib/findings/field.ts';
import { clubPage } from '../lib/findings/report/club-page.ts';
import { pageHtml } from '../lib/findings/report/report-html.ts';
import { reviewerReport, type ReportSource } from '../lib/findings/report/reviewer-report.ts';
import { runnerSheets } from '../lib/findings/report/runner-sheets.ts';
import { resolveRace } from '../lib/findings/resolved-race.ts';
import { supplementOf } from '../lib/findings/supplement.ts';
import type { ResultRow } from '../lib/race/race.ts';
import { SINGLE_FOOT_RULES, type SingleFootRule } from '../lib/sightings/runner-classes.ts';
import type { SightingTable } from '../lib/sightings/sighting-table.ts';
import { wrongCheckpoints } from './checkpoint-choice.ts';
import { makeCommand, type GivenOptions } from './command-options.ts';
import { EXIT_DONE, EXIT_FAULT, type Io } from './command.ts';
import { LIST_OPTIONS, LIST_USAGE, listChoice, type ListChoice } from './list-options.ts';
import { dateOf, readResults } from './read-results.ts';
import { readSightingsOfRace } from './read-tables.ts';
import { beginsWith } from './refuse-outputs.ts';
import { writeFiles } from './write-files.ts';

const OPTIONS = {
  sightings: { type: 'string' },
  results: { type: 'string' },
  out: { type: 'string' },
  club: { type: 'boolean' },
  runners: { type: 'string' },
  early: { type: 'string' },
  late: { type: 'string' },
  level: { type: 'string' },
  'single-foot': { type: 'string' },
  force: { type: 'boolean' },
  ...LIST_OPTIONS,
} as const;

interface Asked {
  readonly sightings: string;
  readonly results: string | undefined;
  readonly out: string;
  readonly club: boolean;
  /** Bibs, or the codes that stand for them. */
  readonly runners: readonly string[];
  readonly early: string | undefined;
  readonly late: string | undefined;
  readonly level: number;
  readonly singleFoot: SingleFootRule;
  readonly force: boolean;
  readonly list: ListChoice;
}

/** Writes a report of a race as one page that needs nothing else. */
export const command = makeCommand({
  name: 'report',
  summary: 'Write the findings as a report, a club page or runners’ sheets in one HTML file',
  usage: `Usage: npm run --silent kerbside -- report --sightings FILE.csv [--results FILE.csv]
         --out FILE.html [--club] [--runners CODE,CODE…] [--early CHECKPOINT
         --late CHECKPOINT] [--level 0.95] [--single-foot exclude|use] [--force]

Writes one HTML file that works offline and prints with page numbers: by default the report for
a reviewer, with methods, results, and where each item of STROBE and GRRAS is answered. Faults
of the tables are said as "analyse" says them.

  --club                 one page for a club evening in place of the report
  --runners CODE,CODE…   a sheet for each of these bibs or codes in place of the report
  --force                replace a file that is there also if it is no such report
How the results are read:
${LIST_USAGE}`,
  options: OPTIONS,
  understand,
  run,
});

async function run(asked: Asked, io: Io): Promise<number> {
  const read = await readSightingsOfRace(asked.sightings, io);
  const results = asked.results === undefined ? null : await readResults(asked.results, read?.table, asked.list, io);
  if (!read || results === undefined) return EXIT_FAULT;
  const wrong = wrongCheckpoints(read.table.checkpoints, 'sighting', asked);
  for (const fault of wrong) io.err(`kerbside report: ${fault}\n`);
  if (wrong.length > 0) return EXIT_FAULT;
  if (read.table.checkpoints.length === 0) {
    io.err(`${asked.sightings}: there is no sighting to report\n`);
    return EXIT_FAULT;
  }
  const page = pageOf(read.table, read.race || 'Race', results, asked);
  const file = { path: asked.out, pieces: [page], replaces: (path: string) => beginsWith(path, BEGINNING) };
  const inputs = [asked.sightings, ...(asked.results === undefined ? [] : [asked.results])];
  return (await writeFiles([file], { inputs, force: asked.force }, io)) ? EXIT_DONE : EXIT_FAULT;
}

const BEGINNING = '<!doctype html>\n<html lang="en">\n<head>\n<meta charset="utf-8">';

function pageOf(table: SightingTable, name: string, results: readonly ResultRow[] | null, asked: Asked): string {
  const { level, singleFoot } = asked;
  const places = earlyAndLate(table.checkpoints, asked);
  const { early, late } = places.ok ? places.value : { early: 0, late: 0 };
  const resolved = resolveRace(table, singleFoot);
  const field = results && fieldOf(results, table.bibs);
  const source: ReportSource = {
    findings: analyse(table, results, asked),
    supplement: supplementOf(resolved, field, early, late, level, () => undefined),
    race: {
      id: '',
      name,
      date: dateOf(table) ?? '',
      checkpoints: table.checkpoints.map((one) => ({ id: one.name, ...one })),
    },
    focus: [...new Set([early, late])].map((at) => table.checkpoints[at]!.name),
    ...{ level, singleFoot, version, made: new Date().toISOString() },
  };
  const parts = [
    ...(asked.club ? [clubPage(source)] : []),
    ...(asked.runners.length > 0 ? [runnerSheets(source, resolved, field, asked.runners)] : []),
  ];
  return pageHtml(name, parts.length > 0 ? parts.join('\n') : reviewerReport(source));
}

function understand({ values }: GivenOptions<typeof OPTIONS>): Asked | string {
  if (!values.sightings) return 'name the sightings file with --sightings';
  if (!values.out) return 'say with --out where the report is to be written';
  const level = values.level === undefined ? 0.95 : Number(values.level);
  if (!(level > 0 && level < 1)) return `--level: "${values.level}" is not a number between 0 and 1, such as 0.95`;
  const singleFoot = SINGLE_FOOT_RULES.find((rule) => rule === (values['single-foot'] ?? 'exclude'));
  if (!singleFoot) return `--single-foot: "${values['single-foot']}" is not one of ${SINGLE_FOOT_RULES.join(', ')}`;
  if (values.sightings === '-' && values.results === '-') return 'standard input (-) can be one file only';
  const list = listChoice(values);
  if (typeof list === 'string') return list;
  return {
    ...{ sightings: values.sightings, results: values.results, out: values.out, club: values.club ?? false },
    runners: (values.runners ?? '')
      .split(',')
      .map((code) => code.trim())
      .filter(Boolean),
    ...{ early: values.early, late: values.late, level, singleFoot, force: values.force ?? false, list },
  };
}
