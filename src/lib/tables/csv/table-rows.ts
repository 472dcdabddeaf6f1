import { decodeUtf8 } from '../../records/utf8.ts';
import { CsvScanner } from './csv-scanner.ts';
import type { FaultList } from './fault-list.ts';
import { ROW_FLAW_WORDS } from './row-flaw-words.ts';
import { shownText } from './shown-text.ts';

/** A row of a table by its headings; rows are counted as a spreadsheet counts them: the headings are row 1. */
export interface TableRow<Column extends string> {
  readonly row: number;
  /** The cell of a column; empty for one that the table does not have. */
  cell(column: Column): string;
}

const HEADINGS_SHOWN = 15;
const NO_UTF8 = 'is not UTF-8';

/**
 * Reads a table whole (RFC 4180 in UTF-8, comma, CRLF or LF): its columns are found by their headings, in any order;
 * unknown ones are ignored. What is wrong with its form goes to `faults`, and such rows are left out.
 *
 * @param optional columns that may be missing
 */
export function readTableRows<Column extends string>(
  bytes: Uint8Array,
  needed: readonly Column[],
  optional: readonly Column[],
  faults: FaultList,
): TableRow<Column>[] {
  const rows: TableRow<Column>[] = [];
  let headings: string[] | null = null;
  let places = new Map<Column, number>();
  let broken = false;
  const scanner = new CsvScanner(() => {
    if (broken) return;
    const { row, flaw } = scanner;
    if (flaw !== null) {
      faults.add({ row, expected: ROW_FLAW_WORDS[flaw] });
      broken = headings === null;
      return;
    }
    const cells = cellsOf(scanner, headings, faults);
    if (headings === null) {
      headings = cells;
      const before = faults.count;
      places = placesOf(cells, needed, optional, row, faults);
      broken = faults.count > before;
      return;
    }
    if (cells.length !== headings.length) {
      faults.add({ row, expected: `has ${cells.length} cells where the headings have ${headings.length}` });
      return;
    }
    rows.push({ row, cell: (column) => cells[places.get(column) ?? -1] ?? '' });
  });
  if (bytes.length === 0) faults.add({ expected: 'the file is empty; expected a row of headings' });
  else if (bytes.subarray(0, 65_536).includes(0)) {
    faults.add({ expected: 'the file is not text (it has bytes of value 0); expected CSV in UTF-8' });
  } else {
    scanner.push(bytes);
    scanner.end();
    if (headings === null && faults.count === 0) faults.add({ expected: 'the file has no row of headings' });
  }
  return rows;
}

function cellsOf(scanner: CsvScanner, headings: readonly string[] | null, faults: FaultList): string[] {
  const cells: string[] = [];
  for (let cell = 0; cell < scanner.cells; cell += 1) {
    const text = decodeUtf8(scanner.bytes, scanner.from[cell]!, scanner.to[cell]!);
    if (text === null) faults.add({ row: scanner.row, column: headings?.[cell] ?? `${cell + 1}`, expected: NO_UTF8 });
    cells.push(text ?? '');
  }
  return cells;
}

function placesOf<Column extends string>(
  headings: readonly string[],
  needed: readonly Column[],
  optional: readonly Column[],
  row: number,
  faults: FaultList,
): Map<Column, number> {
  const places = new Map<Column, number>();
  for (const column of [...needed, ...optional]) {
    const at = headings.indexOf(column);
    if (at >= 0) places.set(column, at);
    if (at >= 0 && headings.includes(column, at + 1))
      faults.add({ row, column, expected: 'stands twice in the headings' });
    if (at < 0 && needed.includes(column)) {
      const listed = headings.map((heading) => `"${shownText(heading)}"`).slice(0, HEADINGS_SHOWN);
      faults.add({ row, column, expected: `is missing; the headings are ${listed.join(', ')}` });
    }
  }
  return places;
}
