import { SINGLE_FOOT_RULES, type SingleFootRule } from '../../lib/sightings/runner-classes.ts';
import { analyseMarks } from '../../lib/findings/analyse-marks.ts';
import { analyse } from '../../lib/findings/analyse.ts';
import { allCheckpoints } from '../../lib/findings/sections/gait/runner-gaits.ts';
import { marksAgainstSightings } from '../../lib/tables/clips/marks-against-sightings.ts';
import { wrongCheckpoints } from './checkpoint-choice.ts';
import { makeCommand, type GivenOptions } from '../command-options.ts';
import { EXIT_DONE, EXIT_FAULT, USUAL_WIDTH, type Io } from '../command.ts';
import { findingsText } from './findings-text.ts';
import { markFindingsText } from './gait-text.ts';
import { LIST_OPTIONS, LIST_USAGE, listChoice, type ListChoice } from '../input/list-options.ts';
import { readResults } from '../input/read-results.ts';
import { readMarksFile, readPracticeFile, readSightingsOfRace, sayFaults } from '../input/read-tables.ts';

const OPTIONS = {
  sightings: { type: 'string' },
  marks: { type: 'string' },
  results: { type: 'string' },
  practice: { type: 'string' },
  early: { type: 'string' },
  late: { type: 'string' },
  level: { type: 'string' },
  'single-foot': { type: 'string' },
  ...LIST_OPTIONS,
  json: { type: 'boolean' },
} as const;

interface Asked {
  readonly sightings: string | undefined;
  readonly marks: string | undefined;
  readonly results: string | undefined;
  readonly practice: string | undefined;
  readonly list: ListChoice;
  readonly early: string | undefined;
  readonly late: string | undefined;
  readonly level: number;
  readonly singleFoot: SingleFootRule;
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
  --early, --late NAME   the two checkpoints to compare; by default the first and the last
  --level L              level of all intervals, between 0 and 1; by default 0.95
  --single-foot RULE     a runner with one foot seen: exclude (default) leaves them
                         unclassified, use takes that foot's class
  --json                 print JSON and nothing else
How the results are read:
${LIST_USAGE}`,
  options: OPTIONS,
  understand,
  run,
});

async function run(asked: Asked, io: Io): Promise<number> {
  const { sightings, marks } = asked;
  // All files are read before giving up, so that all that is wrong is said at once.
  const read = sightings === undefined ? null : await readSightingsOfRace(sightings, io);
  const results = asked.results === undefined ? null : await readResults(asked.results, read?.table, asked.list, io);
  const marked = marks === undefined ? null : await readMarksFile(marks, io);
  const practice = asked.practice === undefined ? null : await readPracticeFile(asked.practice, io);
  if (read === undefined || results === undefined || marked === undefined || practice === undefined) return EXIT_FAULT;
  const apart = read && marked ? marksAgainstSightings(marked, read.table, read.race) : [];
  if (marks !== undefined) sayFaults(io, marks, apart, apart.length);
  const places = read ? read.table.checkpoints : allCheckpoints(marked?.table.checkpoints ?? []);
  const wrong = wrongCheckpoints(places, read ? 'sighting' : 'mark', asked);
  for (const fault of wrong) io.err(`kerbside analyse: ${fault}\n`);
  if (apart.length + wrong.length > 0) return EXIT_FAULT;
  if (asked.list.show) return EXIT_DONE;
  if (read) {
    const findings = analyse(read.table, results, { ...asked, practice: practice ?? undefined, marks: marked?.table });
    io.out(
      asked.json
        ? `${JSON.stringify(findings, null, 2)}\n`
        : findingsText(findings, asked.level, io.width ?? USUAL_WIDTH),
    );
  } else if (marked) {
    const findings = analyseMarks(marked.table, { ...asked, practice: undefined, marks: null });
    io.out(
      asked.json
        ? `${JSON.stringify(findings, null, 2)}\n`
        : markFindingsText(findings, asked.level, io.width ?? USUAL_WIDTH),
    );
  }
  return EXIT_DONE;
}

function understand({ values }: GivenOptions<typeof OPTIONS>): Asked | string {
  if (!values.sightings && !values.marks) return 'name the sightings file with --sightings';
  if (!values.sightings && values.results) return 'results need sightings; name them with --sightings';
  const level = values.level === undefined ? 0.95 : Number(values.level);
  if (!(level > 0 && level < 1)) return `--level: "${values.level}" is not a number between 0 and 1, such as 0.95`;
  const singleFoot = SINGLE_FOOT_RULES.find((rule) => rule === (values['single-foot'] ?? 'exclude'));
  if (!singleFoot) return `--single-foot: "${values['single-foot']}" is not one of ${SINGLE_FOOT_RULES.join(', ')}`;
  if (values.sightings === '-' && values.results === '-') return 'standard input (-) can stand for one file only';
  const list = listChoice(values);
  if (typeof list === 'string') return list;
  if ((values.column || list.show) && !values.results) {
    return `--${values.column ? 'column chooses a column' : 'columns shows the columns'} of the results; name them with --results`;
  }
  return {
    sightings: values.sightings,
    marks: values.marks,
    results: values.results,
    practice: values.practice,
    list,
    early: values.early,
    late: values.late,
    level,
    singleFoot,
    json: values.json ?? false,
  };
}
