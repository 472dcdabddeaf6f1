import * as v from 'valibot';
import { bibSchema, LIMITS } from '../../records/record-fields.ts';
import { UNPRINTABLE } from '../../records/unprintable.ts';
import { ageOnRaceDay, birthOf, type DayOrder } from '../organiser/birth.ts';
import type { Layout } from './find-layout.ts';
import type { OrganiserField } from '../organiser/organiser-headings.ts';
import type { RemarkCounter } from './remark-counter.ts';
import type { TableFault } from './table-fault.ts';

/** How the dates of birth of a list are read. */
export interface BirthReading {
  readonly order: DayOrder;
  /** Such as `2026-10-04`. */
  readonly raceDate: string;
}

export interface RowContext {
  layout: Layout<OrganiserField>;
  /** `null` when the list has no births or the day of the race is not known. */
  birth?: BirthReading | null;
  remarks: RemarkCounter;
}

/** One row's cells by field, and its faults named by the headings of the file. */
export class RowCells {
  readonly row: number;
  readonly #cells: readonly string[];
  readonly #context: RowContext;
  readonly #faults: TableFault[];

  constructor(row: number, cells: readonly string[], context: RowContext, faults: TableFault[]) {
    this.row = row;
    this.#cells = cells;
    this.#context = context;
    this.#faults = faults;
  }

  /** The trimmed cell of a field; empty when the file has no such column. */
  text(field: OrganiserField): string {
    const column = this.#context.layout.columns[field];
    return column === null || column === undefined ? '' : (this.#cells[column] ?? '');
  }

  fault(field: OrganiserField, expected: string, found?: string): void {
    const column = this.#context.layout.columns[field];
    const heading = column === null || column === undefined ? undefined : this.#context.layout.headings[column];
    this.#faults.push({
      row: this.row,
      column: heading || field,
      ...(found === undefined ? {} : { found }),
      expected,
    });
  }

  /** The bib as text, never a number; `null` and a fault when there is none that can be one. */
  bib(): string | null {
    const text = this.text('bib');
    if (text === '') {
      this.fault('bib', 'empty: expected a bib');
      return null;
    }
    if (text.length > LIMITS.bib) {
      this.fault('bib', `is longer than the ${LIMITS.bib} characters a bib may have`, text);
      return null;
    }
    // The schema takes all plain ones; asked for each of a hundred thousand rows it costs more than the rest of the row.
    if (!PLAIN.test(text) && (text.includes('\ufffd') || !v.is(bibSchema, text))) {
      this.fault('bib', 'has characters that no bib has', text);
      return null;
    }
    return text;
  }

  /** The club's code for the person as text, never a number, or nothing. */
  runner(): string | undefined {
    const text = this.text('runner');
    if (text === '') return undefined;
    if (text.length > LIMITS.runner) {
      this.fault('runner', `is longer than the ${LIMITS.runner} characters a runner code may have`, text);
      return undefined;
    }
    if (text.includes('\ufffd') || UNPRINTABLE.test(text)) {
      this.fault('runner', 'has characters that no code has', text);
      return undefined;
    }
    return text;
  }

  /** Free text on one line, or nothing. */
  words(field: OrganiserField): string | undefined {
    const cell = this.text(field);
    if (cell === '') return undefined;
    const text = PLAIN.test(cell) ? cell : cell.replace(BLANKS, ' ');
    if (text.length > LIMITS.name) {
      this.fault(field, `is longer than ${LIMITS.name} characters`, text);
      return undefined;
    }
    return text;
  }

  /** An age in years, 0 to 130, decimals with point or comma. */
  age(): number | undefined {
    const text = this.text('age');
    if (NOTHING.test(text)) return this.#ageByBirth();
    const years = YEARS.test(text) ? Number(text.replace(',', '.')) : NaN;
    if (!(years >= 0 && years <= 130)) {
      this.fault('age', 'is not an age in years from 0 to 130', text);
      return undefined;
    }
    if (text.includes(',')) this.#context.remarks.count('decimal comma', this.row);
    return years;
  }

  #ageByBirth(): number | undefined {
    const { birth, remarks } = this.#context;
    const text = this.text('born');
    if (!birth || NOTHING.test(text)) return undefined;
    const born = birthOf(text, birth.order, Number(birth.raceDate.slice(0, 4)));
    if (!born) {
      this.fault('born', 'is no year or date of birth', text);
      return undefined;
    }
    remarks.count(born.day === undefined ? 'age of a year' : 'age of a date', this.row);
    return ageOnRaceDay(born, birth.raceDate);
  }
}

const NOTHING = /^[-–—?]?$/;
/** Printable ASCII without a blank. */
const PLAIN = /^[!-~]+$/;
const BLANKS = /\s+/g;
const YEARS = /^\d{1,3}(?:[.,]\d+)?$/;
