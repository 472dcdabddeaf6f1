import { failed, succeeded, type Outcome } from '../records/outcome.ts';
import type { ResultRow, StartListRow } from '../race/race.ts';
import { csvRows } from './csv-rows.ts';
import { decodeBytes, type DecodedText, type Encoding } from './decode-bytes.ts';
import { FaultList } from './fault-list.ts';
import { findLayout, type Delimiter, type Layout } from './find-layout.ts';
import { HEADINGS, plainHeading, type OrganiserField } from './organiser-headings.ts';
import { RemarkCounter } from './remark-counter.ts';
import { ResultRowReader } from './result-row-reader.ts';
import { StartListRowReader } from './start-list-row-reader.ts';
import { unguardCell } from './spreadsheet-guard.ts';
import type { TableFault } from './table-fault.ts';

/** The two kinds of file that organisers give. */
export type OrganiserKind = 'startlist' | 'results';
export interface OrganiserRows {
  startlist: StartListRow;
  results: ResultRow;
}

/** What each kind of list can tell, in the order in which columns are chosen. */
export const ORGANISER_FIELDS = {
  startlist: ['bib', 'runner', 'firstName', 'lastName', 'name', 'sex', 'age', 'team', 'start'],
  results: ['bib', 'runner', 'finish', 'sex', 'age', 'status'],
} as const satisfies Record<OrganiserKind, readonly OrganiserField[]>;
export const REQUIRED_FIELDS = {
  startlist: ['bib'],
  results: ['bib', 'finish'],
} as const satisfies Record<OrganiserKind, readonly OrganiserField[]>;

export interface OrganiserOptions {
  /** Columns chosen by a person: an index from 0, the heading as written in the file, or `null` for "not in this file". */
  columns?: Partial<Record<OrganiserField, number | string | null>>;
  delimiter?: Delimiter;
  /** The row of the headings counted from 1, or 0 when the file has none. */
  headingRow?: number;
  /** Turns a wall-clock start (`9:40`, `09:40:30`) into an instant; without it a start must carry its date and offset. */
  startOfWallClock?: (text: string) => string | null;
}

/** How the file was understood: shown as a preview, and what a person can change. */
export interface OrganiserLayout extends Layout<OrganiserField> {
  encoding: Encoding;
  /** The first rows below the headings, as they stand. */
  sample: string[][];
}

export interface OrganiserTable<Kind extends OrganiserKind> {
  kind: Kind;
  /** The faultless rows in the order of the file; of a bib that is there twice the first. */
  rows: OrganiserRows[Kind][];
  faults: TableFault[];
  /** All faults; `faults` has the first hundred. */
  faultCount: number;
  /** How many rows have faults and are not among `rows`. */
  faultyRows: number;
  /** Sentences on what was converted, skipped or left out. */
  said: string[];
  layout: OrganiserLayout | null;
}

const FAULTS_KEPT = 100;
const SAMPLE_ROWS = 5;
/** First words of a line that sums up the list, without case, accents and punctuation. From general knowledge. */
const TOTALS =
  /^(total|totals|totaux|totale|totali|totaal|totalt|summe|sum|suma|somme|gesamt|insgesamt|anzahl|count|yhteensa|razem|celkem)/;

const isBlank = (row: readonly string[]) => row.every((cell) => cell.trim() === '');
const quoted = (text: string) => `"${text.length > 60 ? `${text.slice(0, 60)}…` : text}"`;

/** The whole reading, one state for one file; `organiserSteps` drives it. */
class OrganiserReading<Kind extends OrganiserKind> {
  readonly rows: OrganiserRows[Kind][] = [];
  readonly faults = new FaultList(FAULTS_KEPT);
  faultyRows = 0;
  readonly remarks = new RemarkCounter();
  readonly sample: string[][] = [];
  #row = 0;
  readonly #rowOfBib = new Map<string, number>();
  readonly #rowOfRunner = new Map<string, number>();
  /** Rows without a bib: a line of totals or a footer if nothing but such rows follows, else a fault. */
  #pending: { row: number; cells: string[]; faults: TableFault[] }[] = [];
  readonly #layout: Layout<OrganiserField>;
  readonly #headingCells: string[];
  readonly #reader: StartListRowReader | ResultRowReader;

  constructor(kind: Kind, layout: Layout<OrganiserField>, options: OrganiserOptions) {
    this.#layout = layout;
    this.#headingCells = layout.headings.map(plainHeading);
    const context = { layout, remarks: this.remarks };
    this.#reader =
      kind === 'startlist'
        ? new StartListRowReader({ ...context, startOfWallClock: options.startOfWallClock })
        : new ResultRowReader(context);
  }

  #refuse(faults: readonly TableFault[]): void {
    this.faultyRows += 1;
    for (const fault of faults) this.faults.add(fault);
  }

  take(cells: string[]): void {
    this.#row += 1;
    const row = this.#row;
    if (row < this.#layout.headingRow) {
      const words = cells.map((cell) => cell.trim()).filter(Boolean);
      if (words.length > 0 && !(row === 1 && /^sep=/i.test(words[0]!))) {
        this.remarks.say(`Row ${row} stands above the headings and was skipped: ${quoted(words.join(' '))}.`);
      }
      return;
    }
    if (row === this.#layout.headingRow || isBlank(cells)) return;
    if (this.#isHeadingAgain(cells)) {
      this.remarks.count('repeated heading', row);
      return;
    }
    if (this.sample.length < SAMPLE_ROWS) this.sample.push(cells);
    this.#data(row, cells);
  }

  finish(unclosedQuote: boolean): void {
    if (unclosedQuote) {
      this.faults.add({
        row: this.#row,
        expected: 'a quoted cell begins here and is never closed: a quote (") is missing',
      });
    }
    for (const { row, cells } of this.#pending) {
      const words = cells.map((cell) => cell.trim()).filter(Boolean);
      this.remarks.say(
        `Row ${row} is no runner (totals or a closing line) and was left out: ${quoted(words.join(' '))}.`,
      );
    }
  }

  #isHeadingAgain(cells: readonly string[]): boolean {
    const bib = this.#layout.columns.bib;
    if (this.#layout.headingRow === 0 || bib === null) return false;
    if (cells[bib]?.trim() !== this.#layout.headings[bib]) return false;
    return this.#headingCells.every((heading, i) => plainHeading(cells[i] ?? '') === heading);
  }

  #data(row: number, cells: string[]): void {
    const read = cells.map((cell) => unguardCell(cell.trim()));
    const faults: TableFault[] = [];
    const extra = read.slice(this.#layout.headings.length).filter((cell) => cell !== '');
    if (extra.length > 0) {
      faults.push({
        row,
        found: extra.join(' '),
        expected: `stands beyond the last of the ${this.#layout.headings.length} headings: is a cell with "${
          this.#layout.delimiter === '\t' ? 'a tab' : this.#layout.delimiter
        }" in it not in quotes?`,
      });
    }
    const value = this.#reader.read(row, read, faults);
    if (this.#isNoRunner(read)) {
      this.#pending.push({ row, cells: read, faults: faults.length > 0 ? faults : [{ row, expected: 'no bib' }] });
      return;
    }
    // A runner follows: what waited was neither totals nor footer.
    for (const waiting of this.#pending) this.#refuse(waiting.faults);
    this.#pending = [];
    if (faults.length > 0 || !value) {
      this.#refuse(faults);
      if (value && !this.#rowOfBib.has(value.bib)) this.#rowOfBib.set(value.bib, row);
      return;
    }
    const earlier = this.#rowOfBib.get(value.bib);
    if (earlier !== undefined) {
      const column = this.#layout.headings[this.#layout.columns.bib ?? 0] ?? 'bib';
      const expected = `is in row ${earlier} already: a bib stands for one runner`;
      this.#refuse([{ row, column, found: value.bib, expected }]);
      return;
    }
    this.#rowOfBib.set(value.bib, row);
    const twice = this.#runnerTwice(row, value.runner);
    if (twice) {
      this.#refuse([twice]);
      return;
    }
    this.rows.push(value as OrganiserRows[Kind]);
  }

  #runnerTwice(row: number, runner: string | undefined): TableFault | null {
    if (runner === undefined) return null;
    const earlier = this.#rowOfRunner.get(runner);
    if (earlier === undefined) {
      this.#rowOfRunner.set(runner, row);
      return null;
    }
    const column = this.#layout.headings[this.#layout.columns.runner ?? 0] ?? 'runner';
    return { row, column, found: runner, expected: `is in row ${earlier} already: a code stands for one person` };
  }

  /** No bib and at most two cells filled, or a word for a sum at the head of a row that has nothing of a runner. */
  #isNoRunner(cells: readonly string[]): boolean {
    const { columns } = this.#layout;
    const filled = cells.flatMap((cell, i) => (cell === '' ? [] : [{ cell, i }]));
    const bib = columns.bib === null ? '' : (cells[columns.bib] ?? '');
    if (bib === '' && filled.length <= 2) return true;
    const first = filled[0];
    if (!first || !TOTALS.test(plainHeading(first.cell))) return false;
    if (bib === '' || first.i === columns.bib) return true;
    // "Total" in another column and a count below the bibs.
    return first.i < (columns.bib ?? 0) && filled.length <= 3;
  }
}

function layoutFaults(kind: OrganiserKind, layout: Layout<OrganiserField>, options: OrganiserOptions): TableFault[] {
  const faults: TableFault[] = [];
  const listed = layout.headings.filter(Boolean).map(quoted).join(', ');
  for (const [field, wanted] of Object.entries(options.columns ?? {})) {
    if (typeof wanted === 'string' && layout.columns[field as OrganiserField] === null) {
      faults.push({
        column: field,
        found: wanted,
        expected: `is not a heading of the file; its headings are ${listed}`,
      });
    }
  }
  for (const field of REQUIRED_FIELDS[kind]) {
    if (layout.columns[field] !== null || faults.some((fault) => fault.column === field)) continue;
    const usual = HEADINGS[field].slice(0, 3).map(quoted).join(', ');
    faults.push({
      row: layout.headingRow || 1,
      column: field,
      expected: `not found: expected a heading such as ${usual}; the headings are ${listed || 'empty'}`,
    });
  }
  return faults;
}

function chosenLayout(kind: OrganiserKind, decoded: DecodedText, options: OrganiserOptions): Layout<OrganiserField> {
  const fields: readonly OrganiserField[] = ORGANISER_FIELDS[kind];
  const layout = findLayout<OrganiserField>(decoded.text, fields, REQUIRED_FIELDS[kind], options);
  const chosen = Object.entries(options.columns ?? {}) as [OrganiserField, number | string | null][];
  for (const [field, wanted] of chosen) {
    const exact = layout.headings.findIndex((heading) => heading === wanted);
    const index =
      typeof wanted === 'string'
        ? exact >= 0
          ? exact
          : layout.headings.findIndex((heading) => plainHeading(heading) === plainHeading(wanted))
        : wanted;
    // A column chosen for one field is free no longer for another that was merely recognised.
    for (const other of fields) {
      if (other !== field && options.columns?.[other] === undefined && layout.columns[other] === index) {
        layout.columns[other] = null;
      }
    }
    layout.columns[field] = index === -1 ? null : index;
  }
  return layout;
}

function sayHowRead(layout: Layout<OrganiserField>, decoded: DecodedText, remarks: RemarkCounter): void {
  if (decoded.encoding !== 'UTF-8') remarks.say(`The file is in ${decoded.encoding}; its letters were converted.`);
  if (decoded.brokenCharacters > 0) {
    remarks.say(`${decoded.brokenCharacters} damaged characters are shown as \ufffd.`);
  }
  if (layout.headingRow === 0) remarks.say('The file has no headings.');
}

/**
 * Reads a start list or results as an organiser exports it, step by step: each step yields the share read (0 to 1), and
 * the last returns the table. The caller may show progress and breathe between steps, or stop by asking for no more.
 */
export function* organiserSteps<Kind extends OrganiserKind>(
  bytes: Uint8Array,
  kind: Kind,
  options: OrganiserOptions = {},
): Generator<number, OrganiserTable<Kind>> {
  const empty = (fault: TableFault): OrganiserTable<Kind> => ({
    kind,
    rows: [],
    faults: [fault],
    faultCount: 1,
    faultyRows: 0,
    said: [],
    layout: null,
  });
  const decoded = decodeBytes(bytes);
  if (!decoded.ok) return empty({ expected: `the file is ${decoded.error.looksLike}` });
  if (decoded.value.text.trim() === '') return empty({ expected: 'the file is empty; expected a row of headings' });
  const layout = chosenLayout(kind, decoded.value, options);
  const reading = new OrganiserReading(kind, layout, options);
  sayHowRead(layout, decoded.value, reading.remarks);
  const missing = layoutFaults(kind, layout, options);
  for (const fault of missing) reading.faults.add(fault);
  // Once columns are missing every row would be at fault too; a few rows serve the preview.
  const { text } = decoded.value;
  let unclosedQuote = false;
  for (const batch of csvRows(text, layout.delimiter)) {
    if (missing.length > 0) {
      const start = layout.headingRow;
      reading.sample.push(
        ...batch.rows
          .slice(start)
          .filter((row) => !isBlank(row))
          .slice(0, SAMPLE_ROWS),
      );
      break;
    }
    for (const cells of batch.rows) reading.take(cells);
    unclosedQuote = batch.unclosedQuote;
    yield batch.readTo / text.length;
  }
  if (missing.length === 0) reading.finish(unclosedQuote);
  const table: OrganiserTable<Kind> = {
    kind,
    rows: reading.rows,
    faults: reading.faults.kept,
    faultCount: reading.faults.count,
    faultyRows: reading.faultyRows,
    said: reading.remarks.sentences(),
    layout: { ...layout, encoding: decoded.value.encoding, sample: reading.sample },
  };
  if (missing.length === 0 && table.rows.length === 0 && table.faultCount === 0) {
    table.said.push('There is no runner below the headings.');
  }
  return table;
}

/** The whole of `organiserSteps` at once, for places without a screen. */
export function readOrganiserFile<Kind extends OrganiserKind>(
  bytes: Uint8Array,
  kind: Kind,
  options: OrganiserOptions = {},
): OrganiserTable<Kind> {
  const steps = organiserSteps(bytes, kind, options);
  let step = steps.next();
  while (!step.done) step = steps.next();
  return step.value;
}

export interface ReadingPace {
  /** Told the share read, 0 to 1. */
  onProgress?: (share: number) => void;
  /** Whether to stop; asked between two steps. */
  stopped?: () => boolean;
  /** Lets the screen draw and taps arrive. */
  breathe: () => Promise<void>;
}

/** `organiserSteps` at the pace of a screen. Stopped on demand, it fails with `stopped` and keeps nothing. */
export async function readOrganiserFileInSteps<Kind extends OrganiserKind>(
  bytes: Uint8Array,
  kind: Kind,
  options: OrganiserOptions,
  pace: ReadingPace,
): Promise<Outcome<OrganiserTable<Kind>, { type: 'stopped' }>> {
  const steps = organiserSteps(bytes, kind, options);
  let step = steps.next();
  while (!step.done) {
    pace.onProgress?.(step.value);
    await pace.breathe();
    if (pace.stopped?.()) return failed({ type: 'stopped' });
    step = steps.next();
  }
  return succeeded(step.value);
}
