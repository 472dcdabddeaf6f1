import { failed, succeeded, type Attempt } from '../../records/attempt.ts';
import { FaultList } from './fault-list.ts';
import { NO_UTF8, scanHeadedRows, type HeadedRow } from './headed-rows.ts';
import { unguardCell } from './spreadsheet-guard.ts';
import type { TableFault } from './table-fault.ts';

/** As many faults are kept with their place; the rest are counted. */
const FAULTS_KEPT = 20;

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
 * Reads a small table by its headings, its cells trimmed; at least one row must be there.
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
): Attempt<{ readonly rows: number; readonly columns: readonly Column[] }, TableFaults> {
  const faults = new FaultList(FAULTS_KEPT);
  const read = scanHeadedRows(bytes, required, optional, faults, (headed) => {
    const named = readRow(headed, faults);
    if (named) take(named);
  });
  if (faults.count === 0 && read.rows === 0) faults.add({ expected: 'there is no row below the headings' });
  if (faults.count === 0) return succeeded(read);
  return failed({ type: 'faults', faults: faults.kept, faultCount: faults.count });
}

/** `null`, and a fault, for a row that ends before a column of the table, or has bytes that are no text. */
function readRow<Column extends string>(headed: HeadedRow<Column>, faults: FaultList): NamedRow<Column> | null {
  const cells = new Map<Column, string>();
  const named = new NamedRow(headed.row, cells, faults);
  for (const [column, place] of headed.places) {
    if (place >= headed.cells) return named.fault(column, `is missing: the row has ${headed.cells} cells`);
    const text = headed.text(place);
    if (text === null) return named.fault(column, NO_UTF8);
    cells.set(column, unguardCell(text).trim());
  }
  return named;
}
