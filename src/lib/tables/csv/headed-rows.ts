import { decodeUtf8 } from '../../records/utf8.ts';
import { CsvScanner } from './csv-scanner.ts';
import type { FaultList } from './fault-list.ts';
import { ROW_FLAW_WORDS } from './row-flaw-words.ts';
import { shownText } from './shown-text.ts';

const HEADINGS_SHOWN = 15;
export const NO_UTF8 = 'is not UTF-8';

/** A row while the scanner stands on it. Rows are counted as a spreadsheet counts them: the headings are row 1. */
export interface HeadedRow<Column extends string> {
  readonly row: number;
  readonly cells: number;
  readonly headings: readonly string[];
  /** The cell of each column that the table has, from 0. */
  readonly places: ReadonlyMap<Column, number>;
  /** A cell's text; `null` where its bytes are no UTF-8. */
  text(cell: number): string | null;
}

/**
 * Goes through a table (RFC 4180 in UTF-8, comma, CRLF or LF) whose columns are found by their headings, in any order;
 * unknown ones are ignored. What is wrong with its form goes to `faults`, and such rows are left out.
 *
 * @param optional columns that may be missing
 * @returns the columns that the table has, and how many rows were taken
 */
export function scanHeadedRows<Column extends string>(
  bytes: Uint8Array,
  needed: readonly Column[],
  optional: readonly Column[],
  faults: FaultList,
  take: (row: HeadedRow<Column>) => void,
): { readonly rows: number; readonly columns: readonly Column[] } {
  const noText = noTextWords(bytes);
  if (noText !== null) faults.add({ expected: noText });
  if (noText !== null) return { rows: 0, columns: [] };
  let headings: readonly string[] | null = null;
  let places: ReadonlyMap<Column, number> = new Map();
  let hopeless = false;
  let rows = 0;
  const scanner: CsvScanner = new CsvScanner(() => {
    if (hopeless) return;
    const { flaw, row, cells } = scanner;
    const before = faults.count;
    if (flaw !== null) {
      faults.add({ row, expected: ROW_FLAW_WORDS[flaw] });
      // Without headings nothing below can be understood.
      hopeless = headings === null;
    } else if (headings === null) {
      headings = headingsOf(scanner, faults);
      places = placesOf(headings, needed, optional, row, faults);
      hopeless = faults.count > before;
    } else {
      rows += 1;
      take({ row, cells, headings, places, text: (cell) => textOf(scanner, cell) });
    }
  });
  scanner.push(bytes);
  scanner.end();
  if (headings === null && faults.count === 0) faults.add({ expected: 'the file has no row of headings' });
  return { rows, columns: [...places.keys()] };
}

function noTextWords(bytes: Uint8Array): string | null {
  if (bytes.length === 0) return 'the file is empty; expected a row of headings';
  const utf16 = (bytes[0] === 0xff && bytes[1] === 0xfe) || (bytes[0] === 0xfe && bytes[1] === 0xff);
  if (utf16) return 'the file is in UTF-16; save it as CSV in UTF-8';
  if (bytes.subarray(0, 65_536).includes(0)) {
    return 'the file is not text (it has bytes of value 0); expected CSV in UTF-8';
  }
  return null;
}

const textOf = ({ bytes, from, to }: CsvScanner, cell: number): string | null =>
  decodeUtf8(bytes, from[cell]!, to[cell]!);

function headingsOf(scanner: CsvScanner, faults: FaultList): string[] {
  return Array.from({ length: scanner.cells }, (_, cell) => {
    const text = textOf(scanner, cell);
    if (text === null) faults.add({ row: scanner.row, column: `${cell + 1}`, expected: NO_UTF8 });
    return (text ?? '').trim();
  });
}

function placesOf<Column extends string>(
  headings: readonly string[],
  needed: readonly Column[],
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
  for (const column of [...needed, ...optional]) {
    const at = headings.indexOf(column);
    if (at >= 0) places.set(column, at);
    if (at >= 0 && headings.includes(column, at + 1)) {
      faults.add({ row, column, expected: 'stands twice in the headings' });
    } else if (at < 0 && needed.includes(column)) {
      const listed = headings.slice(0, HEADINGS_SHOWN).map((heading) => `"${shownText(heading)}"`);
      faults.add({ row, column, expected: `is missing; the headings are ${listed.join(', ')}` });
    }
  }
  return places;
}
