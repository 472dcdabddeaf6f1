// Writes the tables of a race off the page: a large one must not hold up a tap.
import { zipSync, type Zippable } from 'fflate';
import { bibCodes } from '../../tables/bib-codes.ts';
import { projectRecords, type Projection } from '../../records/projection.ts';
import type { Race, ResultRow, StartListRow } from '../../race/race.ts';
import { entriesOffCourse } from '../../sightings/standing-entries.ts';
import { tableOfRecords } from '../../sightings/table-of-records.ts';
import { analyse } from '../../findings/analyse.ts';
import { resolveRace } from '../../findings/resolved-race.ts';
import { KerbsideDatabase } from '../../store/database.ts';
import { findRace, loadResults, loadStartList } from '../../store/races.ts';
import { allRecords } from '../../store/records.ts';
import { changesCsv } from '../../tables/changes-csv.ts';
import { csvLine } from '../../tables/csv-line.ts';
import { dataDictionary } from '../../tables/data-dictionary.ts';
import { resultsCsv, startListCsv } from '../../tables/list-csv.ts';
import { checkpointColumns, runnerTableCsv } from '../../tables/runner-table-csv.ts';
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

/** Standing entries at checkpoints that the race no longer has cannot be given a distance: they are left out, and said. */
function onCourse(projection: Projection, race: Race): Projection {
  const known = new Set(race.checkpoints.map((checkpoint) => checkpoint.id));
  return {
    ...projection,
    sightings: projection.sightings.filter((sighting) => known.has(sighting.checkpoint)),
    rulings: projection.rulings.filter((ruling) => known.has(ruling.record.checkpoint)),
  };
}

/** The same projection with every bib replaced and no note: notes may name people. */
function coded(projection: Projection, codeOf: (bib: string) => string): Projection {
  const silent = <Kind extends { note?: string | undefined }>(record: Kind): Kind => {
    const { note: _note, ...rest } = record;
    return rest as Kind;
  };
  return {
    ...projection,
    sightings: projection.sightings.map((sighting) => ({
      ...sighting,
      bib: sighting.bib === null ? null : codeOf(sighting.bib),
      record: silent(sighting.record),
    })),
    rulings: projection.rulings.map((ruling) => ({
      ...ruling,
      record: { ...silent(ruling.record), bib: codeOf(ruling.record.bib) },
    })),
  };
}

/** To the nearest whole minute, at least one: a finish of 0 would be a fault in the table. */
const toMinute = (seconds: number) => Math.max(60, Math.round(seconds / 60) * 60);

/** Where the codes for the club's own runner codes are kept: one person has one code in all races. */
const RUNNER_CODES = 'runner-codes';

/** The codes under a key, kept on this device so that a later export uses the same. */
async function codesOf(key: string, bibs: Iterable<string>): Promise<Map<string, string>> {
  return db.transaction('rw', db.settings, async () => {
    const kept = (await db.settings.get(key))?.value;
    const known = new Map(Array.isArray(kept) ? (kept as [string, string][]) : []);
    const codes = bibCodes(bibs, known, (bytes) => crypto.getRandomValues(bytes));
    if (codes.size > known.size) await db.settings.put({ key, value: [...codes] });
    return codes;
  });
}

async function make({ raceId, choices, created }: TablesRequest): Promise<void> {
  const stored = await findRace(db, raceId);
  if (!stored) throw new Error('This race is not on this device.');
  const { race } = stored;
  reply({ kind: 'progress', words: 'Reading the records …' });
  const records = await allRecords(db, raceId);
  const whole = projectRecords(records);
  const said: string[] = [];
  const off = entriesOffCourse(whole, race).length;
  if (off) said.push(`${off} sightings are left out: the race no longer has their checkpoint.`);
  let projection = onCourse(whole, race);
  let startList: StartListRow[] = (await loadStartList(db, raceId)).rows;
  let results: ResultRow[] = (await loadResults(db, raceId)).rows;
  const files: ExportedFile[] = [];

  if (choices.coded) {
    reply({ kind: 'progress', words: 'Replacing bibs by codes …' });
    const bibs = new Set<string>();
    for (const { bib } of startList) bibs.add(bib);
    for (const { bib } of results) bibs.add(bib);
    for (const { bib } of projection.sightings) if (bib !== null) bibs.add(bib);
    for (const { record } of projection.rulings) bibs.add(record.bib);
    const codes = await codesOf(`bib-codes:${raceId}`, bibs);
    const codeOf = (bib: string) => codes.get(bib)!;
    projection = coded(projection, codeOf);
    // By code, or the order of the rows would still be that of the bibs.
    const byCode = <Row extends { bib: string }>(rows: Row[]) => rows.sort((a, b) => (a.bib < b.bib ? -1 : 1));
    const runners = new Set([...startList, ...results].flatMap(({ runner }) => (runner === undefined ? [] : [runner])));
    const runnerCodes = runners.size > 0 ? await codesOf(RUNNER_CODES, runners) : new Map<string, string>();
    const anew = <Row extends { bib: string; runner?: string | undefined }>(row: Row): Row => ({
      ...row,
      bib: codeOf(row.bib),
      ...(row.runner === undefined ? {} : { runner: runnerCodes.get(row.runner)! }),
    });
    startList = byCode(startList.map(({ name: _name, ...rest }) => anew(rest)));
    results = byCode(results.map(anew));
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
  const { table } = tableOfRecords(projection, race);
  const { used, classes } = resolveRace(table, 'exclude');
  const link = await db.hubLinks.get(raceId);
  const own = await db.counters.get(raceId);
  const offsetMs = new Map(own && link?.offsetMs !== undefined ? [[own.device, Math.round(link.offsetMs)]] : []);
  const add = (name: string, about: string, lines: Iterable<string>) =>
    files.push({ name, about, blob: blobOf(lines) });
  add(
    'sightings.csv',
    'every sighting as it stands, corrections applied, rulings among them',
    sightingsCsv(projection, race, { offsetMs }),
  );
  add(
    'runners.csv',
    'one row a runner: class and time at each checkpoint, finish',
    runnerTableCsv({ table, used, classes, startList, results }),
  );
  if (startList.length) add('startlist.csv', 'the start list', startListCsv(startList));
  if (results.length) add('results.csv', 'the results', resultsCsv(results));
  if (!choices.coded)
    add('changes.csv', 'every correction and withdrawal, before and after', changesCsv(records, whole, race));
  if (table.size) {
    reply({ kind: 'progress', words: 'Computing the findings …' });
    const findings = analyse(table, results.length ? results : null);
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
