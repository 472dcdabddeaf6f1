import { failed, succeeded, type Outcome } from '../../records/outcome.ts';
import { CsvScanner } from './csv-scanner.ts';
import { FaultList } from './fault-list.ts';
import { ROW_FLAW_WORDS } from './row-flaw-words.ts';
import { shownText } from './shown-text.ts';
import { unguardCell } from './spreadsheet-guard.ts';
import type { TableFault } from './table-fault.ts';

/** As many faults are kept with their place; the rest are counted. */
const FAULTS_KEPT = 20;
const HEADINGS_SHOWN = 15;

export interface TableFaults {
  readonly type: 'faults';
  readonly faults: readonly TableFault[];
  readonly faultCount: number;
}

/** One row of a small table: its cells by heading, trimmed, and a place to say what is wrong with them. */
export class NamedRow<Column extends string> {
  readonly row: number;
  readonly #cells: ReadonlyMap<Column, string>;
  readonly #faults: FaultList;

  constructor(row: number, cells: ReadonlyMap<Column, string>, faults: FaultList) {
    this.row = row;
    this.#cells = cells;
    this.#faults = faults;
  }

  /** The cell of a column; empty when the table has no such column. */
  text(column: Column): string {
    return this.#cells.get(column) ?? '';
  }

  /** Says what is wrong with a cell: `"17" is not …` or, without its content, `is empty …`. */
  fault(column: Column, expected: string, found?: string): null {
    this.#faults.add({ row: this.row, column, ...(found === undefined ? {} : { found }), expected });
    return null;
  }

  /** A cell that must have something in it. */
  filled(column: Column): string | null {
    const text = this.text(column);
    return text === '' ? this.fault(column, 'is empty') : text;
  }

  /** One of a few words. */
  word<Word extends string>(column: Column, words: readonly Word[]): Word | null {
    const text = this.text(column);
    const found = words.find((word) => word === text);
    return found ?? this.fault(column, `is not one of ${words.join(', ')}`, text);
  }

  /** A number written with digits, and a point where it has decimals. */
  number(column: Column, fits: (value: number) => boolean, expected: string): number | null {
    const text = this.text(column);
    const value = /^[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?$/.test(text) ? Number(text) : NaN;
    return Number.isFinite(value) && fits(value) ? value : this.fault(column, `is not ${expected}`, text);
  }
}

/**
 * Reads a small table (RFC 4180, UTF-8, comma) by its headings. Columns that are not named are ignored. Rows are counted
 * as a spreadsheet counts them: the headings are row 1.
 *
 * @param required columns that must be there
 * @param optional columns that are read where they are
 * @param take called for each row; says through the row what is wrong with it
 */
export function readNamedRows<Column extends string>(
  bytes: Uint8Array,
  required: readonly Column[],
  optional: readonly Column[],
  take: (row: NamedRow<Column>) => void,
): Outcome<{ readonly rows: number; readonly columns: readonly Column[] }, TableFaults> {
  const faults = new FaultList(FAULTS_KEPT);
  const notText = notTextWords(bytes);
  if (notText !== null) faults.add({ expected: notText });
  else {
    const rows = scanRows(bytes, required, optional, take, faults);
    if (faults.count === 0) return succeeded(rows);
  }
  return failed({ type: 'faults', faults: faults.kept, faultCount: faults.count });
}

function notTextWords(bytes: Uint8Array): string | null {
  if (bytes.length === 0) return 'the file is empty; expected a row of headings';
  const utf16 = (bytes[0] === 0xff && bytes[1] === 0xfe) || (bytes[0] === 0xfe && bytes[1] === 0xff);
  if (utf16) return 'the file is in UTF-16; save it as CSV in UTF-8';
  if (bytes.subarray(0, 65_536).includes(0)) {
    return 'the file is not text (it has bytes of value 0); expected CSV in UTF-8';
  }
  return null;
}

function scanRows<Column extends string>(
  bytes: Uint8Array,
  required: readonly Column[],
  optional: readonly Column[],
  take: (row: NamedRow<Column>) => void,
  faults: FaultList,
): { rows: number; columns: Column[] } {
  let places: Map<Column, number> | undefined;
  let hopeless = false;
  let rows = 0;
  const scanner: CsvScanner = new CsvScanner(() => {
    if (hopeless) return;
    const { flaw, row } = scanner;
    if (flaw !== null) {
      faults.add({ row, expected: ROW_FLAW_WORDS[flaw] });
      // Without headings nothing below can be understood.
      hopeless = places === undefined;
    } else if (places) {
      rows += 1;
      const named = readRow(scanner, places, faults);
      if (named) take(named);
    } else {
      places = placeHeadings(headingsOf(scanner), required, optional, row, faults);
      hopeless = faults.count > 0;
    }
  });
  scanner.push(bytes);
  scanner.end();
  if (faults.count === 0 && !places) faults.add({ expected: 'the file has no row of headings' });
  else if (faults.count === 0 && rows === 0) faults.add({ expected: 'there is no row below the headings' });
  return { rows, columns: [...(places?.keys() ?? [])] };
}

const headingsOf = (scanner: CsvScanner): string[] =>
  Array.from({ length: scanner.cells }, (_, cell) => scanner.lenientText(cell).trim());

function placeHeadings<Column extends string>(
  headings: readonly string[],
  required: readonly Column[],
  optional: readonly Column[],
  row: number,
  faults: FaultList,
): Map<Column, number> {
  const places = new Map<Column, number>();
  const other = headings.length === 1 ? /[;\t]/.exec(headings[0]!)?.[0] : undefined;
  if (other !== undefined) {
    faults.add({ expected: `the cells are separated by ${other === ';' ? 'semicolons' : 'tabs'}; expected commas` });
    return places;
  }
  for (const column of [...required, ...optional]) {
    const at = headings.indexOf(column);
    if (at >= 0) places.set(column, at);
    if (at >= 0 && headings.includes(column, at + 1)) {
      faults.add({ row, column, expected: 'stands twice in the headings' });
    } else if (at < 0 && required.includes(column)) {
      const listed = headings.slice(0, HEADINGS_SHOWN).map((heading) => `"${shownText(heading)}"`);
      faults.add({ row, column, expected: `is missing; the headings are ${listed.join(', ')}` });
    }
  }
  return places;
}

/** `null`, and a fault, for a row with more or fewer cells than it can have, or with bytes that are no text. */
function readRow<Column extends string>(
  scanner: CsvScanner,
  places: ReadonlyMap<Column, number>,
  faults: FaultList,
): NamedRow<Column> | null {
  const cells = new Map<Column, string>();
  const named = new NamedRow(scanner.row, cells, faults);
  for (const [column, place] of places) {
    if (place >= scanner.cells) {
      return named.fault(column, `is missing: the row has ${scanner.cells} cells`);
    }
    const text = scanner.lenientText(place);
    if (text.includes('\ufffd')) return named.fault(column, 'is not UTF-8', text);
    cells.set(column, unguardCell(text).trim());
  }
  return named;
}
