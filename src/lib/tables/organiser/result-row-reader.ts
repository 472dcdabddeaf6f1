import type { ResultRow } from '../../race/race.ts';
import { FINISH_EXPECTED, isNoFinish } from './finish-of.ts';
import { isStray } from './judge-times.ts';
import { isPossible, type RaceLength } from './pace-limits.ts';
import { RowCells, type RowContext } from '../csv/row-cells.ts';
import type { TableFault } from '../csv/table-fault.ts';
import { timeIn, type TimeForm, type TimeShape } from './time-forms.ts';

/** How the times of a results list are written, and what they can be. */
export interface TimeWriting {
  readonly form: TimeForm;
  /** Seconds from midnight to the start, for times of day. */
  readonly startOfDay: number | null;
  /** The look of nearly all cells of the column; `null` when they differ. */
  readonly look: TimeShape | null;
  /** `null` when it is not known, or when the times as a whole are impossible over it. */
  readonly length: RaceLength | null;
  /** The length of the race, whatever its times; `null` when it is not known. */
  readonly course: RaceLength | null;
}

/** Reads one row of results. */
export class ResultRowReader {
  readonly #context: RowContext;
  readonly #writing: TimeWriting;

  constructor(context: RowContext, writing: TimeWriting) {
    this.#context = context;
    this.#writing = writing;
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
    // A field that is not known is not there; set one by one, which a hundred thousand rows notice.
    const result: { -readonly [Field in keyof ResultRow]: ResultRow[Field] } = { bib };
    if (runner !== undefined) result.runner = runner;
    if (finish !== undefined) result.finish = finish;
    if (sex !== undefined) result.sex = sex;
    if (age !== undefined) result.age = age;
    if (status !== undefined) result.status = status;
    return result;
  }

  #finish(at: RowCells): { finish?: number; status?: string | undefined } {
    const text = at.text('finish');
    const { form, startOfDay, look, length, course } = this.#writing;
    const cell = timeIn(form, text, startOfDay);
    const status = at.words('status');
    if (cell.kind === 'fault') {
      at.fault('finish', FINISH_EXPECTED, text);
      return { status };
    }
    if (cell.kind === 'none') {
      if (cell.status !== undefined) this.#context.remarks.count('no finish word', at.row);
      return { status: status ?? cell.status };
    }
    if (form === 'clock' && isStray(text, cell.seconds, look, length)) {
      at.fault('finish', 'is no time anybody takes over this distance, and not written as the other times are', text);
      return { status };
    }
    const { remarks } = this.#context;
    if (cell.form !== 'plain' && form === 'clock') remarks.count(cell.form, at.row);
    if (course !== null && !isPossible(cell.seconds, course)) remarks.count('impossible finish', at.row);
    else if (cell.seconds < 60) remarks.count('short finish', at.row);
    if (status !== undefined && isNoFinish(status)) remarks.count('finish despite status', at.row);
    return { finish: cell.seconds, status };
  }
}
