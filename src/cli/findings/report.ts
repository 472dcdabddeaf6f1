import { makeCommand, type GivenOptions } from '../command-options.ts';
import { RACE_OPTIONS, RACE_USAGE, raceChoice, type RaceChoice } from './race-options.ts';
import { namedFiles, type SeasonFiles } from './named-files.ts';

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
export interface AskedReport extends RaceChoice {
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
  run: async (asked, io) => (await import('./report-run.ts')).runReport(asked, io),
});

/** What says something of one race. */
const ONE_RACE = ['results', 'practice', 'validation', 'marks', 'club', 'runners', 'early', 'late'] as const;

function understand({ values }: GivenOptions<typeof OPTIONS>): AskedReport | string {
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
