// Writes the tables of a race off the page: a large one must not hold up a tap.
import { passagesOfRace } from '../../clips/passages-of-race.ts';
import { clipsCsv, marksCsv, stepsCsv } from '../../tables/clips/clip-tables.ts';
import { zipSync, type Zippable } from 'fflate';
import { sha256 } from '@noble/hashes/sha2.js';
import { bytesToHex } from '@noble/hashes/utils.js';
import { version } from '../../../../package.json';
import { described } from '../../findings/about-findings.ts';
import { offCourseWords } from '../../findings/sentences/off-course-words.ts';
import { resolveRace } from '../../findings/resolved-race.ts';
import { withoutTimesOfFew } from '../../findings/times-of-few.ts';
import { entriesOf, viewOfRace, type RaceView } from '../../sightings/race-view.ts';
import { tableOfRecords } from '../../sightings/table-of-records.ts';
import type { ValidationDraw } from '../../findings/sections/corrected/validation-draw.ts';
import { VALIDATION_COLUMNS } from '../../tables/clips/validation-columns.ts';
import { drawsOfRace } from '../../findings/sections/corrected/draws-of-race.ts';
import { bibCodesKey, RUNNER_CODES_KEY } from '../../store/code-list.ts';
import type { StoredRace } from '../../store/database.ts';
import { changesCsv } from '../../tables/sightings/changes-csv.ts';
import { anonymityOf } from '../../tables/coded-export/anonymity.ts';
import { COARSENING_STEPS, stepOf, type CoarseningStep } from '../../tables/coded-export/coarsening-steps.ts';
import { codedLists, type RaceLists } from '../../tables/coded-export/coded-lists.ts';
import { codedDraws } from '../../tables/coded-export/coded-draws.ts';
import { codedView } from '../../tables/coded-export/coded-view.ts';
import { csvLine } from '../../tables/csv/csv-line.ts';
import { dataDictionary } from '../../tables/data-dictionary.ts';
import { RESULTS_COLUMNS, START_LIST_COLUMNS } from '../../tables/organiser/list-columns.ts';
import { checkpointColumns, runnerColumns, runnerRows } from '../../tables/sightings/runner-table.ts';
import { sightingsCsv } from '../../tables/sightings/sightings-csv.ts';
import { guardCell } from '../../tables/csv/spreadsheet-guard.ts';
import { tableCsv, type Coding } from '../../tables/csv/table-csv.ts';
import type { FindingsResult } from '../findings/worker/findings-messages.ts';
import { gatherRecords } from '../../store/records/record-batches.ts';
import { storeOfPage } from '../store-door/store-of-page.ts';
import { practiceInUse } from '../findings/choices/practice-in-use.ts';
import { PRACTICE_RUNNER_COLUMNS } from '../../tables/practice/practice-columns.ts';
import recomputeScript from './recompute.R?raw';
import { validationRows } from './validation-rows.ts';
import { findingsResult } from '../findings/worker/findings-result.ts';
import type {
  AnonymityOfSteps,
  ExportChoices,
  ExportedFile,
  ExportReply,
  ExportRequest,
  PackRequest,
  TablesRequest,
} from './export-messages.ts';

const { store } = storeOfPage();
const reply = (message: ExportReply): void => postMessage(message);

const CSV = 'text/csv;charset=utf-8';
const BYTE_ORDER_MARK = '\ufeff';
/** A string for each row would be slow to join in a blob: rows are gathered to pieces of about this many characters. */
const PIECE = 1 << 18;

function blobOf(lines: Iterable<string>, byteOrderMark = false): Blob {
  const pieces: string[] = [];
  let piece = byteOrderMark ? BYTE_ORDER_MARK : '';
  for (const line of lines) {
    piece += line;
    if (piece.length > PIECE) {
      pieces.push(piece);
      piece = '';
    }
  }
  return new Blob([...pieces, piece], { type: CSV });
}

const jsonBlob = (value: unknown) =>
  new Blob([`${JSON.stringify(value, null, 2)}\n`], { type: 'application/json;charset=utf-8' });

async function make({ raceId, choices, created }: TablesRequest): Promise<void> {
  const stored = await store.findRace(raceId);
  if (!stored) throw new Error('This race is not on this device.');
  reply({ kind: 'progress', words: 'Reading the records …' });
  const whole = viewOfRace(stored.race, await gatherRecords(store, raceId));
  const said: string[] = [];
  if (whole.offCourse.length) said.push(offCourseWords(whole.offCourse.length));
  const lists = {
    startList: (await store.loadStartList(raceId)).rows,
    results: (await store.loadResults(raceId)).rows,
  };
  if (choices.coded) reply({ kind: 'progress', words: 'Replacing bibs by codes …' });
  const draws = drawsOfRace(whole, await store.loadOldDraws(raceId));
  const coded = choices.coded ? await codedTables(raceId, whole, lists, draws, choices) : null;
  if (coded) {
    const clips = whole.projection.clips.length > 0 ? ', clips and marks' : '';
    said.push(
      `Names, notes${clips} and the table of changes are left out.`,
      'The figures on finish time are those of the coarser times.',
    );
  }
  await write({
    stored,
    whole,
    ...(coded ?? { view: whole, lists, draws, files: [], anonymity: null }),
    said,
    choices,
    created,
  });
}

const PRACTICE_LEFT_OUT =
  'The practice answers are left out, since clips may be named after runners; the shares they correct are in.';

interface Coded {
  readonly view: RaceView;
  readonly lists: RaceLists;
  readonly draws: readonly ValidationDraw[];
  /** The keys from codes to bibs and people. */
  readonly files: ExportedFile[];
  readonly anonymity: AnonymityOfSteps;
}

async function codedTables(
  raceId: string,
  whole: RaceView,
  lists: RaceLists,
  draws: readonly ValidationDraw[],
  { step: stepId, kept }: ExportChoices,
): Promise<Coded> {
  const { startList, results } = lists;
  const bibs = new Set([...startList, ...results].map(({ bib }) => bib));
  for (const { bib } of entriesOf(whole)) if (bib !== null) bibs.add(bib);
  // A bib may have been corrected after it was drawn.
  for (const { runners } of draws) for (const { bib } of runners) bibs.add(bib);
  const codes = await store.codesOf(bibCodesKey(raceId), [...bibs]);
  const runners = new Set([...startList, ...results].flatMap(({ runner }) => (runner === undefined ? [] : [runner])));
  const runnerCodes =
    runners.size > 0 ? await store.codesOf(RUNNER_CODES_KEY, [...runners]) : new Map<string, string>();
  const drawn = { ofBib: (bib: string) => codes.get(bib)!, ofRunner: (runner: string) => runnerCodes.get(runner)! };
  const at = (step: CoarseningStep) => ({
    lists: codedLists(lists, drawn, step, kept),
    view: codedView(whole, drawn.ofBib, step, kept),
  });
  const chosen = at(stepOf(stepId));
  return {
    ...chosen,
    draws: codedDraws(draws, drawn.ofBib, stepOf(stepId), kept),
    files: keyFiles(codes, runners, runnerCodes),
    anonymity: COARSENING_STEPS.map((step) => {
      const there = step.id === stepId ? chosen : at(step);
      return {
        step: step.id,
        anonymity: anonymityOf(there.lists, kept.placeTimes ? placeTimes(there.view) : undefined),
      };
    }),
  };
}

/** When each runner was seen where, as one text: with these in the tables they single a runner out too. */
function placeTimes(view: RaceView): ReadonlyMap<string, string> {
  const seen = new Map<string, string>();
  for (const { bib, checkpoint, observedAt } of entriesOf(view)) {
    if (bib !== null) seen.set(bib, `${seen.get(bib) ?? ''} ${checkpoint} ${observedAt}`);
  }
  return seen;
}

function keyFiles(
  codes: ReadonlyMap<string, string>,
  runners: ReadonlySet<string>,
  runnerCodes: ReadonlyMap<string, string>,
): ExportedFile[] {
  const files: ExportedFile[] = [
    {
      name: 'key-bib-to-code.csv',
      about: 'which code stands for which bib: keep it apart, locked away',
      blob: blobOf([csvLine(['bib', 'code']), ...[...codes].map(([bib, code]) => csvLine([guardCell(bib), code]))]),
      apart: true,
    },
  ];
  if (runners.size > 0) {
    const lines = [...runners].map((runner) => csvLine([guardCell(runner), runnerCodes.get(runner)!]));
    files.push({
      name: 'key-runner-to-code.csv',
      about: 'which code stands for which runner code of the club: keep it apart, locked away',
      blob: blobOf([csvLine(['runner_code', 'code']), ...lines]),
      apart: true,
    });
  }
  return files;
}

/** The rows hold codes by now; whatever names a person outright is left empty all the same. */
const ALREADY_CODED: Coding = { bib: (code) => code, runner: (code) => code };

interface ToWrite {
  readonly stored: StoredRace;
  readonly whole: RaceView;
  readonly view: RaceView;
  readonly lists: RaceLists;
  readonly draws: readonly ValidationDraw[];
  readonly files: ExportedFile[];
  readonly anonymity: AnonymityOfSteps | null;
  readonly said: string[];
  readonly choices: ExportChoices;
  readonly created: string;
}

async function write(to: ToWrite): Promise<void> {
  const { stored, whole, view, lists, draws, files, anonymity, said, choices, created } = to;
  reply({ kind: 'progress', words: 'Writing the tables …' });
  const { startList, results } = lists;
  const { race } = stored;
  const table = tableOfRecords(view);
  const singleFoot = choices.findings.singleFoot ?? 'exclude';
  const coding = choices.coded ? ALREADY_CODED : undefined;
  const resolved = resolveRace(table, singleFoot);
  const { used, classes } = resolved;
  const { offsetsMs } = choices.coded
    ? { offsetsMs: new Map<string, number>() }
    : await store.deviceKnowledge(stored.id);
  const add = (name: string, about: string, lines: Iterable<string>): Blob => {
    const blob = blobOf(lines, choices.byteOrderMark);
    files.push({ name, about, blob });
    return blob;
  };
  const inputs: Record<string, string> = {};
  inputs['sightings.csv'] = await sha256Of(
    add(
      'sightings.csv',
      'every sighting as it stands, corrections applied, rulings among them',
      sightingsCsv(view, { offsetMs: offsetsMs, coding }),
    ),
  );
  const withoutPlaceTimes = choices.coded && !choices.kept.placeTimes;
  if (!choices.coded && view.projection.clips.length) {
    add('clips.csv', 'every clip that was reviewed', clipsCsv(view));
    add('marks.csv', 'every mark on a clip as it stands', marksCsv(view));
    add('steps.csv', 'what the marks give, one row a step', stepsCsv(view));
  }
  add(
    'runners.csv',
    'one row a runner: class and time at each checkpoint, finish',
    tableCsv(
      runnerColumns(checkpointColumns(table)),
      runnerRows({ table, used, classes, startList, results, withoutPlaceTimes }),
      coding,
    ),
  );
  if (startList.length) add('startlist.csv', 'the start list', tableCsv(START_LIST_COLUMNS, startList, coding));
  if (results.length)
    inputs['results.csv'] = await sha256Of(
      add('results.csv', 'the results', tableCsv(RESULTS_COLUMNS, results, coding)),
    );
  if (!choices.coded) add('changes.csv', 'every correction and withdrawal, before and after', changesCsv(whole));
  const validation = validationRows(resolved, draws);
  if (validation.length > 0) {
    add(
      'validation.csv',
      'who was drawn for review on clip, when and by which seed, and who was reviewed beyond that',
      tableCsv(VALIDATION_COLUMNS, validation, coding),
    );
  }
  const coarsened = choices.coded ? stepOf(choices.step).words : null;
  let shown: FindingsResult | null = null;
  if (table.size) {
    reply({ kind: 'progress', words: 'Computing the findings …' });
    const practice = practiceInUse(
      await store.loadPracticeChoice(stored.id),
      await store.listPractice(),
      table.observers,
    );
    if (practice.answers && choices.coded) said.push(PRACTICE_LEFT_OUT);
    if (practice.answers && !choices.coded) {
      const answers = tableCsv(PRACTICE_RUNNER_COLUMNS, practice.answers);
      const about = 'answers to practice clips, by which shares are corrected';
      inputs['practice-runners.csv'] = await sha256Of(add('practice-runners.csv', about, answers));
    }
    const { table: passages } = passagesOfRace(view);
    const marks = !choices.coded && passages.passages.length > 0 ? passages : null;
    const source = {
      stored,
      table,
      marks,
      offCourse: 0,
      results: results.length ? results : null,
      startList,
      practice,
      expected: null,
    };
    const { result } = findingsResult(source, choices.findings);
    const findings = choices.coded ? withoutTimesOfFew(result.findings) : result.findings;
    shown = { ...result, findings };
    const about = {
      ...{ version, race: { name: race.name, date: race.date }, made: created, level: result.level, singleFoot },
      ...{ inputs, coded: choices.coded, coarsened },
    };
    files.push({
      name: 'findings.json',
      about: 'every figure, as the command line prints it, and what it was made from',
      blob: jsonBlob(described(findings, about)),
    });
  }
  if (table.size) {
    const about = 'plain R that computes these tables again and compares: Rscript recompute.R';
    files.push({ name: 'recompute.R', about, blob: new Blob([recomputeScript], { type: 'text/plain;charset=utf-8' }) });
  }
  const dictionary = dataDictionary({
    race,
    columns: checkpointColumns(table),
    coded: choices.coded,
    coarsened,
    paths: files.map((file) => file.name),
    created,
    ...(choices.deleteBy ? { deleteBy: choices.deleteBy } : {}),
  });
  files.push({ name: 'datapackage.json', about: 'the data dictionary (Table Schema)', blob: jsonBlob(dictionary) });
  reply({ kind: 'done', files, said, anonymity, findings: shown });
}

/** Without the browser's own digest, which pages without a certificate do not have. */
async function sha256Of(blob: Blob): Promise<string> {
  return bytesToHex(sha256(new Uint8Array(await blob.arrayBuffer())));
}

/** In this worker and in one go: the library's own workers come from blobs, which the page's policy does not allow. */
async function pack({ files }: PackRequest): Promise<void> {
  const parts: Zippable = {};
  for (const { name, blob } of files) {
    parts[name] = [new Uint8Array(await blob.arrayBuffer()), { level: name.endsWith('.png') ? 0 : 6 }];
  }
  reply({ kind: 'packed', zip: new Blob([zipSync(parts)], { type: 'application/zip' }) });
}

onmessage = (event: MessageEvent<ExportRequest>) => {
  const request = event.data;
  (request.kind === 'pack' ? pack(request) : make(request)).catch((error: unknown) => {
    reply({ kind: 'failed', message: error instanceof Error ? error.message : String(error) });
  });
};
