import { viewOfRace } from '../../lib/sightings/race-view.ts';
import { CHANGES_COLUMNS, changesCsv } from '../../lib/tables/sightings/changes-csv.ts';
import { clipsCsv, marksCsv, stepsCsv } from '../../lib/tables/clips/clip-tables.ts';
import { CLIPS_COLUMNS } from '../../lib/tables/clips/clips-columns.ts';
import { USUAL_CUT_OFFS, type CutOffs } from '../../lib/clips/angles.ts';
import { MARKS_COLUMNS } from '../../lib/tables/clips/marks-columns.ts';
import { STEPS_COLUMNS } from '../../lib/tables/clips/steps-columns.ts';
import { csvLine } from '../../lib/tables/csv/csv-line.ts';
import { SIGHTINGS_COLUMNS } from '../../lib/tables/sightings/sightings-columns.ts';
import { sightingsCsv } from '../../lib/tables/sightings/sightings-csv.ts';
import { makeCommand, type GivenOptions } from '../command-options.ts';
import { EXIT_DONE, EXIT_FAULT, type Io } from '../command.ts';
import { readHandoff } from './read-handoff.ts';
import { beginsWith } from '../output/refuse-outputs.ts';
import { writeFiles, type FileToWrite } from '../output/write-files.ts';

const IDS_SAID = 20;

const OPTIONS = {
  csv: { type: 'string' },
  changes: { type: 'string' },
  marks: { type: 'string' },
  steps: { type: 'string' },
  clips: { type: 'string' },
  'cut-offs': { type: 'string' },
  bom: { type: 'boolean' },
  force: { type: 'boolean' },
} as const;

interface Asked {
  readonly files: readonly string[];
  readonly csv: string | undefined;
  readonly changes: string | undefined;
  readonly marks: string | undefined;
  readonly steps: string | undefined;
  readonly clips: string | undefined;
  readonly cutOffs: CutOffs;
  /** Whether each table begins with a byte-order mark. */
  readonly bom: boolean;
  readonly force: boolean;
}

/** Writes tables of what hand-off files hold. */
export const command = makeCommand({
  name: 'export',
  summary: 'Write the sightings, changes, marks and clips of hand-off files as CSV',
  usage: `Usage: npm run --silent kerbside -- export FILE.ndjson… [--csv FILE.csv] [--changes FILE.csv]
         [--marks FILE.csv] [--steps FILE.csv] [--clips FILE.csv] [--cut-offs 7.4,-0.8]
         [--bom] [--force]

Reads hand-off files of one race and writes tables of their union; at least one of them.
Anything wrong with a file is said with its file and line; then the exit code is 2 and
nothing is written.

  --csv FILE       the sightings as they now stand, ready for "analyse": corrections applied,
                   withdrawn sightings left out, rulings as rows of method "ruling"
  --changes FILE   every correction and withdrawal: record, target, field, before, after, by, when
  --marks FILE     the marks on clips as they now stand, ready for "analyse"
  --steps FILE     what they give, one row for each step: contact, flight, cadence, angles
  --clips FILE     the clips: frames, rates, size, how many passages and marks
  --cut-offs A,B   strike angles in degrees above which the angle alone says rearfoot, and below
                   which it says forefoot; by default 7.4,-0.8 (the older pair is 8,-1.6)
  --bom            begin each table with a byte-order mark, for spreadsheet programs that
                   garble letters without it
  --force          replace a file that is there also if it is no such table

Texts that a spreadsheet would take for a formula (first character = + - @ or a tab) and those
that begin with an apostrophe get an apostrophe in front; "analyse" takes it off again.

Bibs stand as they are, and a bib together with published results is a name. Nothing here replaces
them by codes: tables to hand on are made on the app's Export, which counts whom they single out.
`,
  options: OPTIONS,
  takesFiles: true,
  understand,
  run,
});

async function run(options: Asked, io: Io): Promise<number> {
  const content = await readHandoff(options.files, io);
  if (!content) return EXIT_FAULT;
  const { race, records } = content;
  const view = viewOfRace(race, records);
  const files: FileToWrite[] = [];
  if (options.csv !== undefined) {
    const { offCourse } = view;
    for (const id of offCourse.slice(0, IDS_SAID)) {
      io.err(`${options.files.join(', ')}: record ${id}: the race has no such checkpoint\n`);
    }
    if (offCourse.length > IDS_SAID) io.err(`and ${offCourse.length - IDS_SAID} more such records\n`);
    if (offCourse.length > 0) return EXIT_FAULT;
    files.push({ path: options.csv, pieces: sightingsCsv(view), replaces: beginsAs(SIGHTINGS_COLUMNS) });
  }
  for (const [path, columns, pieces] of [
    [options.changes, CHANGES_COLUMNS, () => changesCsv(view)],
    [options.marks, MARKS_COLUMNS, () => marksCsv(view)],
    [options.steps, STEPS_COLUMNS, () => stepsCsv(view, { cutOffs: options.cutOffs })],
    [options.clips, CLIPS_COLUMNS, () => clipsCsv(view)],
  ] as const) {
    if (path !== undefined) files.push({ path, pieces: pieces(), replaces: beginsAs(columns) });
  }
  const marked = options.bom ? files.map((file) => ({ ...file, pieces: afterMark(file.pieces) })) : files;
  return (await writeFiles(marked, { inputs: options.files, force: options.force }, io)) ? EXIT_DONE : EXIT_FAULT;
}

const BYTE_ORDER_MARK = '\ufeff';

function* afterMark(pieces: Iterable<string>): Generator<string> {
  yield BYTE_ORDER_MARK;
  yield* pieces;
}

/** The first headings of every version's tables, after which later versions have set more. */
const STABLE_HEADINGS = 7;

function beginsAs(columns: object): (path: string) => Promise<boolean> {
  const headings = csvLine(Object.keys(columns).slice(0, STABLE_HEADINGS)).trimEnd();
  return async (path) => (await beginsWith(path, headings)) || beginsWith(path, BYTE_ORDER_MARK + headings);
}

function understand({ values, files }: GivenOptions<typeof OPTIONS>): Asked | string {
  if (files.length === 0) return 'name the hand-off files to read';
  const { csv, changes, marks, steps, clips } = values;
  if (![csv, changes, marks, steps, clips].some(Boolean)) {
    return 'say with --csv, --changes, --marks, --steps or --clips what is to be written';
  }
  const cutOffs = cutOffsOf(values['cut-offs']);
  if (!cutOffs)
    return `--cut-offs: "${values['cut-offs']}" is not two angles in degrees, the greater first, such as 8,-1.6`;
  return {
    ...{ files, cutOffs, bom: values.bom ?? false, force: values.force ?? false },
    ...{ csv: csv || undefined, changes: changes || undefined },
    ...{ marks: marks || undefined, steps: steps || undefined, clips: clips || undefined },
  };
}

function cutOffsOf(text: string | undefined): CutOffs | null {
  if (text === undefined) return USUAL_CUT_OFFS;
  const parts = text.split(',').map((part) => (/^\s*-?\d+(\.\d+)?\s*$/.test(part) ? Number(part) : NaN));
  const [rearfoot = NaN, forefoot = NaN] = parts;
  return parts.length === 2 && rearfoot > forefoot ? { rearfoot, forefoot } : null;
}
