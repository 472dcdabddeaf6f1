import { makeCommand, type GivenOptions } from '../command-options.ts';
import { RACE_OPTIONS, RACE_USAGE, raceChoice, type RaceChoice } from './race-options.ts';

const OPTIONS = { ...RACE_OPTIONS, json: { type: 'boolean' } } as const;

/** What is asked of `analyse`. */
export interface AskedFindings extends RaceChoice {
  readonly json: boolean;
}

/** Computes the findings of a race. */
export const command = makeCommand({
  name: 'analyse',
  summary: 'Shares, early-to-late shift, finish times, agreement, coverage and gait from sightings and marks',
  usage: `Usage: npm run --silent kerbside -- analyse --sightings FILE.csv [--results FILE.csv]
         [--marks FILE.csv] [--practice FILE.csv] [--early CHECKPOINT --late CHECKPOINT]
         [--level 0.95] [--single-foot exclude|use] [--json] [OPTIONS ON THE RESULTS]

Reads sightings and, if given, results, and prints the findings as text or as one JSON
object. Rows are counted as a spreadsheet counts them: the headings are row 1. A fault in
a file is said on standard error with its row and column (the first 20, then a count);
then nothing is printed and the exit code is 2.

  --sightings FILE       one row for one runner seen at one checkpoint by one observer:
                         record_id, race, checkpoint, km, bib, left, right, observer,
                         method, observed_at, note and, if there is one, gait
  --results FILE         one row for each starter: bib, finish, and where known sex, age
                         and status, as organisers export them: CSV, or an .xlsx workbook;
                         which columns were taken is said on standard error
  --marks FILE           one row for each mark on a clip, as the export writes them; with
                         marks alone the gait figures are printed and nothing else
  --practice FILE        practice clips of whole runners with their key, one row for one
                         answer: item, observer, key_left, key_right, left, right;
                         shares are then corrected for what these observers misread
  --json                 print JSON and nothing else
${RACE_USAGE}`,
  options: OPTIONS,
  understand,
  run: async (asked, io) => (await import('./analyse-run.ts')).runAnalyse(asked, io),
});

function understand({ values }: GivenOptions<typeof OPTIONS>): AskedFindings | string {
  if (!values.sightings && !values.marks) return 'name the sightings file with --sightings';
  if (!values.sightings && values.results) return 'results need sightings; name them with --sightings';
  const race = raceChoice(values);
  if (typeof race === 'string') return race;
  if ((values.column || race.list.show) && !values.results) {
    return `--${values.column ? 'column chooses a column' : 'columns shows the columns'} of the results; name them with --results`;
  }
  return { ...race, json: values.json ?? false };
}
