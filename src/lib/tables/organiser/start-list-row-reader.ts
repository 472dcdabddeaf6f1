import type { StartListRow } from '../../race/race.ts';
import { utcInstant } from '../../records/instant.ts';
import { LIMITS } from '../../records/record-fields.ts';
import { RowCells, type RowContext } from '../csv/row-cells.ts';
import type { TableFault } from '../csv/table-fault.ts';

const WITH_OFFSET = /^\d{4}-\d\d-\d\d[T ]\d\d:\d\d(?::\d\d(?:[.,]\d{1,3})?)?(?:Z|[+-]\d\d:\d\d)$/i;

/** Reads one row of a start list. */
export class StartListRowReader {
  readonly #context: RowContext;
  readonly #startOfWallClock: ((text: string) => string | null) | undefined;

  constructor(context: RowContext & { startOfWallClock?: ((text: string) => string | null) | undefined }) {
    this.#context = context;
    this.#startOfWallClock = context.startOfWallClock;
  }

  /** The row's runner; `null` without a bib. Faults are added to `faults`. */
  read(row: number, cells: readonly string[], faults: TableFault[]): StartListRow | null {
    const at = new RowCells(row, cells, this.#context, faults);
    const bib = at.bib();
    const runner = at.runner();
    const name = this.#name(at);
    const sex = at.words('sex');
    const age = at.age();
    const team = at.words('team');
    const start = this.#start(at);
    if (bib === null) return null;
    return {
      bib,
      ...(runner === undefined ? {} : { runner }),
      ...(name === undefined ? {} : { name }),
      ...(sex === undefined ? {} : { sex }),
      ...(age === undefined ? {} : { age }),
      ...(team === undefined ? {} : { team }),
      ...(start === undefined ? {} : { start }),
    };
  }

  /** First and last name in one; a column "Name" beside a first name is the last name. */
  #name(at: RowCells): string | undefined {
    const name = at.words('name');
    const first = at.words('firstName');
    const last = at.words('lastName') ?? name;
    if (first === undefined) return last ?? name;
    const whole = last === undefined ? first : `${first} ${last}`;
    if (whole.length <= LIMITS.name) return whole;
    at.fault('firstName', `makes a name longer than ${LIMITS.name} characters`, whole);
    return undefined;
  }

  #start(at: RowCells): string | undefined {
    const text = at.text('start');
    if (text === '') return undefined;
    const ms = WITH_OFFSET.test(text) ? Date.parse(text.replace(' ', 'T').replace(',', '.').toUpperCase()) : NaN;
    if (Number.isFinite(ms)) return utcInstant(ms);
    const start = this.#startOfWallClock?.(text) ?? null;
    if (start !== null) {
      this.#context.remarks.count('wall clock', at.row);
      return start;
    }
    at.fault(
      'start',
      this.#startOfWallClock
        ? 'is not a time of day such as 9:40 or 09:40:30, nor a date-time with offset'
        : 'is not a date-time with offset such as 2026-10-04T09:40:00+02:00',
      text,
    );
    return undefined;
  }
}
