import type { FaultList } from './fault-list.ts';
import { NO_UTF8, scanHeadedRows, type HeadedRow } from './headed-rows.ts';

/** A row of a table by its headings, every cell as it is written. */
export interface TableRow<Column extends string> {
  readonly row: number;
  /** The cell of a column; empty for one that the table does not have. */
  cell(column: Column): string;
}

/**
 * Reads a table whole. Every row has as many cells as there are headings; one that has not is a fault, and left out.
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
  scanHeadedRows(bytes, needed, optional, faults, (headed) => {
    const { row, places, headings } = headed;
    const cells = cellsOf(headed, faults);
    if (cells.length === headings.length) rows.push({ row, cell: (column) => cells[places.get(column) ?? -1] ?? '' });
    else faults.add({ row, expected: `has ${cells.length} cells where the headings have ${headings.length}` });
  });
  return rows;
}

function cellsOf({ row, cells, headings, text }: HeadedRow<string>, faults: FaultList): string[] {
  return Array.from({ length: cells }, (_, cell) => {
    const content = text(cell);
    if (content === null) faults.add({ row, column: headings[cell] ?? `${cell + 1}`, expected: NO_UTF8 });
    return content ?? '';
  });
}
