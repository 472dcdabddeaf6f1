import { passagesOfRace } from '../../clips/passages-of-race.ts';
import { clipsCsv, marksCsv, stepsCsv } from '../../tables/clip-tables.ts';
// Writes the tables of a race off the page: a large one must not hold up a tap.
import { zipSync, type Zippable } from 'fflate';
import { bibCodes } from '../../tables/bib-codes.ts';
import type { ResultRow } from '../../race/race.ts';
import { entriesOf, viewOfRace } from '../../sightings/race-view.ts';
import { tableOfRecords } from '../../sightings/table-of-records.ts';
import { analyse } from '../../findings/analyse.ts';
import { offCourseWords } from '../../findings/off-course-words.ts';
import { validationStates, type ValidationDraw } from '../../findings/sections/corrected/validation-draw.ts';
import { resolveRace, type ResolvedRace } from '../../findings/resolved-race.ts';
import { bibCodesKey, extendCodes, RUNNER_CODES_KEY } from '../../store/code-list.ts';
import { VALIDATION_COLUMNS, type ValidationRow } from '../../tables/validation-columns.ts';
import { loadValidationDraws } from '../../store/validation-draws.ts';
import { KerbsideDatabase } from '../../store/database.ts';
import { deviceKnowledge } from '../../store/known-devices.ts';
import { findRace, loadResults, loadStartList } from '../../store/races.ts';
import { allRecords } from '../../store/records.ts';
import { changesCsv } from '../../tables/changes-csv.ts';
import { csvLine } from '../../tables/csv-line.ts';
import { dataDictionary } from '../../tables/data-dictionary.ts';
import { RESULTS_COLUMNS, START_LIST_COLUMNS } from '../../tables/list-columns.ts';
import { checkpointColumns, runnerColumns, runnerRows } from '../../tables/runner-table.ts';
import { type Coding, tableCsv } from '../../tables/table-csv.ts';
import { sightingsCsv } from '../../tables/sightings-csv.ts';
import { guardCell } from '../../tables/spreadsheet-guard.ts';
import type { ExportedFile, ExportReply, ExportRequest, PackRequest, TablesRequest } from './export-messages.ts';

const db = new KerbsideDatabase();
const reply = (message: ExportReply): void => postMessage(message);

const CSV = 'text/csv;charset=utf-8';
/** A string for each row would be slow to join in a blob: rows are gathered to pieces of about this many characters. */
const PIECE = 1 << 18;

function blobOf(lines: Iterable<string>): Blob {
  const pieces: string[] = [];
  let piece = '';
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

/** To the nearest whole minute, at least one: a finish of 0 would be a fault in the table. */
const toMinute = (seconds: number) => Math.max(60, Math.round(seconds / 60) * 60);

/** The codes under a key, kept on this device so that a later export uses the same. */
async function codesOf(key: string, texts: Iterable<string>): Promise<Map<string, string>> {
  return extendCodes(db, key, (known) => bibCodes(texts, known, (bytes) => crypto.getRandomValues(bytes)));
}

/** Every draw, earliest first, then those reviewed whom no draw has. */
function validationRows(race: ResolvedRace, draws: readonly ValidationDraw[]): ValidationRow[] {
  const states = validationStates(race, draws, [...race.table.checkpoints.keys()]);
  return states.flatMap((state) => [
    ...state.draws.flatMap(({ seed, drawnAt, runners }, i) =>
      runners.map((runner) => ({ checkpoint: state.checkpoint, draw: i + 1, seed, drawnAt, ...runner })),
    ),
    ...state.beyond.map((bib) => ({
      ...{ checkpoint: state.checkpoint, bib, draw: null, seed: null, drawnAt: '', live: null, reviewed: true },
    })),
  ]);
}

async function make({ raceId, choices, created }: TablesRequest): Promise<void> {
  const stored = await findRace(db, raceId);
  if (!stored) throw new Error('This race is not on this device.');
  const { race } = stored;
  reply({ kind: 'progress', words: 'Reading the records …' });
  const records = await allRecords(db, raceId);
  const view = viewOfRace(race, records);
  const said: string[] = [];
  if (view.offCourse.length) said.push(offCourseWords(view.offCourse.length));
  const startList = (await loadStartList(db, raceId)).rows;
  let results: ResultRow[] = (await loadResults(db, raceId)).rows;
  const files: ExportedFile[] = [];
  let coding: Coding | undefined;

  if (choices.coded) {
    reply({ kind: 'progress', words: 'Replacing bibs by codes …' });
    const bibs = new Set<string>();
    for (const { bib } of startList) bibs.add(bib);
    for (const { bib } of results) bibs.add(bib);
    for (const { bib } of entriesOf(view)) if (bib !== null) bibs.add(bib);
    const codes = await codesOf(bibCodesKey(raceId), bibs);
    const runners = new Set([...startList, ...results].flatMap(({ runner }) => (runner === undefined ? [] : [runner])));
    const runnerCodes = runners.size > 0 ? await codesOf(RUNNER_CODES_KEY, runners) : new Map<string, string>();
    coding = { bib: (bib) => codes.get(bib)!, runner: (code) => runnerCodes.get(code)! };
    const lines = [...codes].map(([bib, code]) => csvLine([guardCell(bib), code]));
    files.push({
      name: 'key-bib-to-code.csv',
      about: 'which code stands for which bib: keep it apart, locked away',
      blob: blobOf([csvLine(['bib', 'code']), ...lines]),
      apart: true,
    });
    if (runners.size > 0) {
      const keyLines = [...runners].map((runner) => csvLine([guardCell(runner), runnerCodes.get(runner)!]));
      files.push({
        name: 'key-runner-to-code.csv',
        about: 'which code stands for which runner code of the club: keep it apart, locked away',
        blob: blobOf([csvLine(['runner_code', 'code']), ...keyLines]),
        apart: true,
      });
    }
    said.push('Names, notes and the table of changes are left out.');
  }
  if (choices.rounded) {
    results = results.map((row) => (row.finish === undefined ? row : { ...row, finish: toMinute(row.finish) }));
  }

  reply({ kind: 'progress', words: 'Writing the tables …' });
  const table = tableOfRecords(view);
  /** By code, or the order of the rows would still be that of the bibs. */
  const ordered = <Row extends { readonly bib: string }>(rows: Iterable<Row>): Row[] => {
    const { bib: codeOf } = coding ?? {};
    const all = [...rows];
    return codeOf ? all.sort((a, b) => (codeOf(a.bib) < codeOf(b.bib) ? -1 : 1)) : all;
  };
  const resolved = resolveRace(table, 'exclude');
  const { used, classes } = resolved;
  const { offsetsMs } = await deviceKnowledge(db, raceId);
  const names = { bibText: coding?.bib };
  const add = (name: string, about: string, lines: Iterable<string>) =>
    files.push({ name, about, blob: blobOf(lines) });
  add(
    'sightings.csv',
    'every sighting as it stands, corrections applied, rulings among them',
    sightingsCsv(view, { offsetMs: offsetsMs, coding }),
  );
  if (view.projection.clips.length) {
    add('clips.csv', 'every clip that was reviewed', clipsCsv(view, names));
    add('marks.csv', 'every mark on a clip as it stands', marksCsv(view, names));
    add('steps.csv', 'what the marks give, one row a step', stepsCsv(view, names));
  }
  add(
    'runners.csv',
    'one row a runner: class and time at each checkpoint, finish',
    tableCsv(
      runnerColumns(checkpointColumns(table)),
      ordered(runnerRows({ table, used, classes, startList, results })),
      coding,
    ),
  );
  if (startList.length)
    add('startlist.csv', 'the start list', tableCsv(START_LIST_COLUMNS, ordered(startList), coding));
  if (results.length) add('results.csv', 'the results', tableCsv(RESULTS_COLUMNS, ordered(results), coding));
  if (!choices.coded) add('changes.csv', 'every correction and withdrawal, before and after', changesCsv(view));
  const validation = validationRows(resolved, await loadValidationDraws(db, raceId));
  if (validation.length > 0) {
    add(
      'validation.csv',
      'who was drawn for review on clip, when and by which seed, and who was reviewed beyond that',
      tableCsv(VALIDATION_COLUMNS, ordered(validation), coding),
    );
  }
  if (table.size) {
    reply({ kind: 'progress', words: 'Computing the findings …' });
    const { table: marks } = passagesOfRace(view);
    const findings = analyse(table, results.length ? results : null, { marks: marks.passages.length ? marks : null });
    files.push({
      name: 'findings.json',
      about: 'every figure, as the command line prints it',
      blob: jsonBlob(findings),
    });
  }
  const dictionary = dataDictionary({
    race,
    columns: checkpointColumns(table),
    coded: choices.coded,
    rounded: choices.rounded,
    paths: files.map((file) => file.name),
    created,
    ...(choices.deleteBy ? { deleteBy: choices.deleteBy } : {}),
  });
  files.push({ name: 'datapackage.json', about: 'the data dictionary (Table Schema)', blob: jsonBlob(dictionary) });
  reply({ kind: 'done', files, said });
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
