import type { ResultRow } from '../race/race.ts';
import { FINISH_EXPECTED, finishOf } from './finish-of.ts';
import { RowCells, type RowContext } from './row-cells.ts';
import type { TableFault } from './table-fault.ts';

/** Reads one row of results. */
export class ResultRowReader {
  readonly #context: RowContext;

  constructor(context: RowContext) {
    this.#context = context;
  }

  /** The row's runner; `null` without a bib. Faults are added to `faults`. */
  read(row: number, cells: readonly string[], faults: TableFault[]): ResultRow | null {
    const at = new RowCells(row, cells, this.#context, faults);
    const bib = at.bib();
    const runner = at.runner();
    const { finish, status } = this.#finish(at);
    const sex = at.words('sex');
    const age = at.age();
    if (bib === null) return null;
    return {
      bib,
      ...(runner === undefined ? {} : { runner }),
      ...(finish === undefined ? {} : { finish }),
      ...(sex === undefined ? {} : { sex }),
      ...(age === undefined ? {} : { age }),
      ...(status === undefined ? {} : { status }),
    };
  }

  #finish(at: RowCells): { finish?: number; status?: string | undefined } {
    const text = at.text('finish');
    const cell = finishOf(text);
    const status = at.words('status');
    if (cell.kind === 'fault') {
      at.fault('finish', FINISH_EXPECTED, text);
      return { status };
    }
    if (cell.kind === 'none') {
      if (cell.status !== undefined) this.#context.remarks.count('no finish word', at.row);
      return { status: status ?? cell.status };
    }
    if (cell.form !== 'plain') this.#context.remarks.count(cell.form, at.row);
    if (cell.seconds < 60) this.#context.remarks.count('short finish', at.row);
    return { finish: cell.seconds, status };
  }
}
