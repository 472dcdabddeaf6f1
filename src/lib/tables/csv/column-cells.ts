import { csvRows } from './csv-rows.ts';
import type { Delimiter } from './find-layout.ts';
import { unguardCell } from './spreadsheet-guard.ts';

/** So many rows tell how a column is written. */
const ROWS = 5000;

/** The filled cells of one column below the headings, with their rows. */
export type ColumnCells = readonly { readonly row: number; readonly text: string }[];

/** Reads the first rows of some columns, to see how they are written before the rows are read. */
export function columnCells(
  text: string,
  delimiter: Delimiter,
  headingRow: number,
  columns: readonly number[],
): ReadonlyMap<number, ColumnCells> {
  const cells = new Map(columns.map((column) => [column, [] as { row: number; text: string }[]]));
  let row = 0;
  for (const batch of csvRows(text, delimiter)) {
    for (const found of batch.rows) {
      row += 1;
      if (row <= headingRow) continue;
      for (const [column, list] of cells) {
        const cell = unguardCell((found[column] ?? '').trim());
        if (cell !== '') list.push({ row, text: cell });
      }
    }
    if (row >= ROWS) break;
  }
  return cells;
}
