import { compareCodePoints } from '../../records/code-point-order.ts';
import { FaultList } from '../csv/fault-list.ts';
import type { Layout } from '../csv/find-layout.ts';
import type { OrganiserKind, OrganiserRows } from './organiser-file.ts';
import { plainHeading, type OrganiserField } from './organiser-headings.ts';
import { RemarkCounter } from '../csv/remark-counter.ts';
import { ResultRowReader } from './result-row-reader.ts';
import type { ListWriting } from './results-writing.ts';
import { sexWritings, type SexWriting } from './sex-codes.ts';
import { unguardCell } from '../csv/spreadsheet-guard.ts';
import { StartListRowReader } from './start-list-row-reader.ts';
import type { TableFault } from '../csv/table-fault.ts';

const FAULTS_KEPT = 100;
/** More faulty rows than this share, and the file is refused (a bound of our own, no source). */
const MOST_FAULTY = 0.1;
export const SAMPLE_ROWS = 5;
/**
 * First words of a line that sums up the list, without case and accents. From general knowledge. The short ones must be
 * the whole word: a bib or a code may begin with their letters (`AVG7`).
 */
const TOTALS =
  /^(?:(?:sum|suma|count|avg)$|total|totaux|totaal|summe|somme|gesamt|insgesamt|anzahl|yhteensa|razem|celkem|average|durchschnitt|moyenne|promedio|gemiddelde|genomsnitt|gennemsnit|gjennomsnitt|keskiarvo|srednia|prumer|median|finishers|starters|entrants|participants|partants|arrivants)/;
const FIRST_WORD = /[\p{L}\p{M}\p{N}]+/u;

const beginsTotals = (cell: string): boolean => TOTALS.test(plainHeading(FIRST_WORD.exec(cell)?.[0] ?? ''));

/** With an apostrophe in front spreadsheet programs keep digits as text: `'007`. */
const TEXT_MARK = /^['’](?=\d)/;

/** The text of a cell without what spreadsheet programs put in front of it. */
function plainCell(cell: string): string {
  const text = unguardCell(cell.trim());
  const first = text.charCodeAt(0);
  if (first !== 0x27 && first !== 0x2019) return text;
  return TEXT_MARK.test(text) ? text.slice(1) : text;
}

const NO_CELLS: readonly string[] = [];
const STARTS_WITH_DIGIT = /^\d/;

export function isBlank(row: readonly string[]): boolean {
  for (const cell of row) if (cell.trim() !== '') return false;
  return true;
}
export const quoted = (text: string) => `"${text.length > 60 ? `${text.slice(0, 60)}…` : text}"`;

/** The whole reading, one state for one file; `organiserSteps` drives it. */
export class OrganiserReading<Kind extends OrganiserKind> {
  #rows: OrganiserRows[Kind][] = [];
  readonly faults = new FaultList(FAULTS_KEPT);
  faultyRows = 0;
  #twice = 0;
  readonly remarks = new RemarkCounter();
  readonly sample: string[][] = [];
  #row = 0;
  readonly #rowOfBib = new Map<string, number>();
  readonly #rowOfRunner = new Map<string, number>();
  /** Rows without a bib: a line of totals or a footer if nothing but such rows follows, else a fault. */
  #pending: { row: number; cells: string[]; faults: TableFault[] }[] = [];
  readonly #layout: Layout<OrganiserField>;
  readonly #headingCells: string[];
  readonly #reader: StartListRowReader | ResultRowReader;
  readonly #chosenSexes: ReadonlyMap<string, string>;
  #sexes: readonly SexWriting[] = [];

  constructor(
    kind: Kind,
    layout: Layout<OrganiserField>,
    writing: ListWriting,
    startOfWallClock: ((text: string) => string | null) | undefined,
    chosenSexes: ReadonlyMap<string, string> = new Map(),
  ) {
    this.#layout = layout;
    this.#chosenSexes = chosenSexes;
    this.#headingCells = layout.headings.map(plainHeading);
    const context = { layout, remarks: this.remarks, birth: writing.birth };
    for (const sentence of writing.said) this.remarks.say(sentence);
    this.#reader =
      kind === 'startlist'
        ? new StartListRowReader({ ...context, startOfWallClock })
        : new ResultRowReader(context, writing.times);
  }

  #refuse(faults: readonly TableFault[]): void {
    this.faultyRows += 1;
    for (const fault of faults) this.faults.add(fault);
  }

  /** The faultless rows, each meaning of a sex in one writing. */
  get rows(): readonly OrganiserRows[Kind][] {
    return this.#rows;
  }

  /** How the list writes sexes, and what is kept of it. */
  get sexes(): readonly SexWriting[] {
    return this.#sexes;
  }

  /** Whether too much is wrong to go on without the faulty rows: a bib twice, or more than one row in ten. */
  get refused(): boolean {
    const all = this.#rows.length + this.faultyRows;
    return this.#twice > 0 || this.faultyRows > Math.max(1, MOST_FAULTY * all) || this.#rows.length === 0;
  }

  take(cells: string[]): void {
    this.#row += 1;
    const row = this.#row;
    if (row < this.#layout.headingRow) {
      const words = cells.map((cell) => cell.trim()).filter(Boolean);
      if (words.length > 0 && !(row === 1 && /^sep=/i.test(words[0]!))) {
        this.remarks.say(`Row ${row} stands above the headings and was skipped: ${quoted(words.join(' '))}.`);
      }
      return;
    }
    if (row === this.#layout.headingRow || isBlank(cells)) return;
    if (this.#isHeadingAgain(cells)) {
      this.remarks.count('repeated heading', row);
      return;
    }
    if (this.sample.length < SAMPLE_ROWS) this.sample.push(cells);
    this.#data(row, cells);
  }

  finish(unclosedQuote: boolean): void {
    if (unclosedQuote) {
      this.faults.add({
        row: this.#row,
        expected: 'a quoted cell begins here and is never closed: a quote (") is missing',
      });
    }
    this.#unifySexes();
    for (const { row, cells } of this.#pending) {
      const words = cells.map((cell) => cell.trim()).filter(Boolean);
      this.remarks.say(
        `Row ${row} is no runner (totals or a closing line) and was left out: ${quoted(words.join(' '))}.`,
      );
    }
  }

  #unifySexes(): void {
    const counts = new Map<string, number>();
    for (const { sex } of this.#rows) if (sex !== undefined) counts.set(sex, (counts.get(sex) ?? 0) + 1);
    const writings = sexWritings(counts, this.#chosenSexes);
    this.#sexes = writings;
    const changed = writings.filter(({ found, kept }) => found !== kept);
    if (changed.length === 0) return;
    const kept = new Map(changed.map((writing) => [writing.found, writing.kept]));
    this.#rows = this.#rows.map((row) => {
      const as = row.sex === undefined ? undefined : kept.get(row.sex);
      if (as === undefined) return row;
      const { sex: _, ...rest } = row;
      return as === '' ? (rest as typeof row) : { ...row, sex: as };
    });
    const said = [...new Set(writings.map((writing) => writing.kept))].flatMap((as) => {
      const others = changed.filter((writing) => writing.kept === as).map(({ found }) => quoted(found));
      if (others.length === 0) return [];
      return `${others.sort(compareCodePoints).join(', ')} as ${as === '' ? 'not known' : quoted(as)}`;
    });
    this.remarks.say(`Ways to write one sex were made one: ${said.join('; ')}.`);
  }

  #isHeadingAgain(cells: readonly string[]): boolean {
    const bib = this.#layout.columns.bib;
    if (this.#layout.headingRow === 0 || bib === null) return false;
    if (cells[bib]?.trim() !== this.#layout.headings[bib]) return false;
    return this.#headingCells.every((heading, i) => plainHeading(cells[i] ?? '') === heading);
  }

  #data(row: number, cells: string[]): void {
    const read = cells.map(plainCell);
    if (read[this.#layout.columns.bib ?? -1] !== cells[this.#layout.columns.bib ?? -1]?.trim()) {
      this.remarks.count('apostrophe', row);
    }
    const faults: TableFault[] = [];
    const { length } = this.#layout.headings;
    const extra = read.length > length ? read.slice(length).filter((cell) => cell !== '') : NO_CELLS;
    if (extra.length > 0) {
      faults.push({
        row,
        found: extra.join(' '),
        expected: `stands beyond the last of the ${this.#layout.headings.length} headings: is a cell with "${
          this.#layout.delimiter === '\t' ? 'a tab' : this.#layout.delimiter
        }" in it not in quotes?`,
      });
    }
    const value = this.#reader.read(row, read, faults);
    if (this.#isNoRunner(read)) {
      this.#pending.push({ row, cells: read, faults: faults.length > 0 ? faults : [{ row, expected: 'no bib' }] });
      return;
    }
    // A runner follows: what waited was neither totals nor footer.
    for (const waiting of this.#pending) this.#refuse(waiting.faults);
    this.#pending = [];
    if (faults.length > 0 || !value) {
      this.#refuse(faults);
      if (value && !this.#rowOfBib.has(value.bib)) this.#rowOfBib.set(value.bib, row);
      return;
    }
    const earlier = this.#rowOfBib.get(value.bib);
    if (earlier !== undefined) {
      const column = this.#layout.headings[this.#layout.columns.bib ?? 0] ?? 'bib';
      const expected = `is in row ${earlier} already: a bib stands for one runner`;
      this.#twice += 1;
      this.#refuse([{ row, column, found: value.bib, expected }]);
      return;
    }
    this.#rowOfBib.set(value.bib, row);
    const twice = this.#runnerTwice(row, value.runner);
    if (twice) {
      this.#twice += 1;
      this.#refuse([twice]);
      return;
    }
    this.#rows.push(value as OrganiserRows[Kind]);
  }

  #runnerTwice(row: number, runner: string | undefined): TableFault | null {
    if (runner === undefined) return null;
    const earlier = this.#rowOfRunner.get(runner);
    if (earlier === undefined) {
      this.#rowOfRunner.set(runner, row);
      return null;
    }
    const column = this.#layout.headings[this.#layout.columns.runner ?? 0] ?? 'runner';
    return { row, column, found: runner, expected: `is in row ${earlier} already: a code stands for one person` };
  }

  /** No bib and at most two cells filled, or a word for a sum at the head of a row that has nothing of a runner. */
  #isNoRunner(cells: readonly string[]): boolean {
    const { columns } = this.#layout;
    const bib = columns.bib === null ? '' : (cells[columns.bib] ?? '');
    let filled = 0;
    for (const cell of cells) if (cell !== '') filled += 1;
    if (bib === '' && filled <= 2) return true;
    let first = 0;
    while (cells[first] === '') first += 1;
    // A digit begins no word, and most rows begin with a bib or a place.
    if (first >= cells.length || STARTS_WITH_DIGIT.test(cells[first]!) || !beginsTotals(cells[first]!)) return false;
    if (bib === '' || first === columns.bib) return true;
    // "Total" in another column and a count below the bibs.
    return first < (columns.bib ?? 0) && filled <= 3;
  }
}
