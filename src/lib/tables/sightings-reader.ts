import { FOOT_VALUES, GAITS } from '../domain/foot.ts';
import { failed, succeeded, type Outcome } from '../domain/outcome.ts';
import {
  NO_BIB,
  packSeen,
  SIGHTING_METHODS,
  SightingTableBuilder,
  UNSEEN,
  WALK,
  type SightingTable,
} from '../domain/sighting-table.ts';
import { decodeUtf8 } from '../domain/utf8.ts';
import { CsvScanner, LONGEST_ROW_BYTES, type RowFlaw } from './csv-scanner.ts';
import { instantOfBytes } from './instant-of-bytes.ts';
import { FaultList } from './fault-list.ts';
import { shownText } from './shown-text.ts';
import type { SightingOrigins } from './sighting-origins.ts';
import { placeColumns, type ColumnPlaces, type SightingsColumn } from './sightings-columns.ts';
import { unguardedStart } from './spreadsheet-guard.ts';
import type { TableFault } from './table-fault.ts';
import { isAt, wordFinder } from './word-finder.ts';

/** As many faults are kept with their place; the rest are counted. */
export const FAULTS_KEPT = 20;

export interface SightingsFaults {
  type: 'faults';
  /** The first {@link FAULTS_KEPT}. */
  faults: TableFault[];
  faultCount: number;
}

export interface ReadSightings {
  table: SightingTable;
  /** Data rows of the file; a record met twice counts twice. */
  rows: number;
}

const FLAWS: Record<RowFlaw, string> = {
  'quote-inside': 'a cell has a quotation mark inside but does not begin with one',
  'text-after-quote': 'there is text between a closing quotation mark and the next comma',
  'lone-carriage-return': 'a carriage return stands alone; rows end with CRLF or LF',
  'unclosed-quote': 'a quotation mark opens a cell here and none closes it before the end of the file',
  'too-long': `is longer than ${LONGEST_ROW_BYTES} bytes: a quotation mark left open, or no table at all`,
};

/** Controls, line and bidi marks: no printed bib or code has them, and they make output unreadable. */
// eslint-disable-next-line no-control-regex -- these are the characters to refuse
const UNPRINTABLE = /[\u0000-\u001f\u007f-\u009f\u2028\u2029\u202a-\u202e\u2066-\u2069]/;
const KM = /^(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?$/;
const SPACE = 0x20;

const footAt = wordFinder(FOOT_VALUES);
const gaitAt = wordFinder(GAITS);
const methodAt = wordFinder(SIGHTING_METHODS);

/**
 * Reads sightings from the bytes of a CSV file (RFC 4180, UTF-8 with or without its mark, CRLF or LF) as they arrive:
 * `push` each chunk, then `finish`. Columns are found by their headings; unknown ones are ignored. Rows are counted as a
 * spreadsheet counts them: the headings are row 1. An apostrophe that an export set before free text against formulas is
 * taken off again.
 */
export class SightingsReader {
  readonly #builder = new SightingTableBuilder();
  readonly #scanner = new CsvScanner(() => this.#takeRow());
  readonly #faults = new FaultList(FAULTS_KEPT);
  readonly #origins: SightingOrigins | null;
  /** Faults before the row in work, to see whether it has any. */
  #faultsBefore = 0;
  #rows = 0;
  #headings: string[] | null = null;
  #column: ColumnPlaces = placeColumns([]).places;
  /** Cells that no dictionary checks for being UTF-8. */
  #uncoded: number[] = [];
  #race: string | null = null;
  #raceBytes = new Uint8Array(0);
  /** For each checkpoint the km cell that was last read and found right, so that equal ones need no second look. */
  readonly #kmBytes: Uint8Array[] = [];
  readonly #kmRow: number[] = [];
  #started = false;
  #broken = false;

  /** @param origins filled with what the table says of tablets, for those who ask */
  constructor(origins: SightingOrigins | null = null) {
    this.#origins = origins;
  }

  /** Whether no later byte can change what is wrong, so that the rest need not be read. */
  get hopeless(): boolean {
    return this.#broken || this.#scanner.stopped;
  }

  push(chunk: Uint8Array): void {
    if (this.#broken || chunk.length === 0) return;
    if (!this.#started && !this.#begin(chunk)) return;
    this.#scanner.push(chunk);
  }

  /** Looks at the first bytes: a mark before the text is taken off, what is no UTF-8 text at all is said once. */
  #begin(chunk: Uint8Array): boolean {
    this.#started = true;
    const utf16 = (chunk[0] === 0xff && chunk[1] === 0xfe) || (chunk[0] === 0xfe && chunk[1] === 0xff);
    if (utf16) return this.#giveUp('the file is in UTF-16; save it as CSV in UTF-8');
    if (chunk.subarray(0, 65_536).includes(0)) {
      return this.#giveUp('the file is not text (it has bytes of value 0); expected CSV in UTF-8');
    }
    return true;
  }

  #giveUp(expected: string): false {
    this.#broken = true;
    this.#faults.add({ expected });
    return false;
  }

  /** The table, or what is wrong with the file. */
  finish(): Outcome<ReadSightings, SightingsFaults> {
    this.#scanner.end();
    if (!this.#started) this.#giveUp('the file is empty; expected a row of headings');
    else if (!this.#broken && !this.#headings) this.#giveUp('the file has no row of headings');
    else if (this.#faults.count === 0 && this.#rows === 0) {
      this.#faults.add({ expected: 'there is no sighting below the headings' });
    }
    const { kept, count } = this.#faults;
    if (count > 0) return failed({ type: 'faults', faults: kept, faultCount: count });
    return succeeded({ table: this.#builder.build(), rows: this.#rows });
  }

  /** A fault of one cell of the row in work. */
  #cellFault(column: SightingsColumn, expected: string, showCell = true): void {
    this.#faults.addLater(() => ({
      row: this.#scanner.row,
      column,
      ...(showCell ? { found: this.#lenientText(this.#column[column]) } : {}),
      expected,
    }));
  }

  #lenientText(cell: number): string {
    const { bytes, from, to } = this.#scanner;
    return new TextDecoder().decode(bytes.subarray(from[cell], to[cell]));
  }

  #takeRow(): void {
    if (this.#broken) return;
    const { flaw, row } = this.#scanner;
    if (flaw !== null) {
      this.#faults.add({ row, expected: FLAWS[flaw] });
      // Without headings nothing below can be understood.
      if (!this.#headings) this.#broken = true;
    } else if (this.#headings) this.#takeSighting();
    else this.#takeHeadings();
  }

  #takeHeadings(): void {
    const headings: string[] = [];
    for (let cell = 0; cell < this.#scanner.cells; cell += 1) headings.push(this.#lenientText(cell));
    this.#headings = headings;
    const other = headings.length === 1 ? /[;\t]/.exec(headings[0]!)?.[0] : undefined;
    if (other !== undefined) {
      this.#giveUp(`the cells are separated by ${other === ';' ? 'semicolons' : 'tabs'}; expected commas`);
      return;
    }
    const { row } = this.#scanner;
    const { places, faults } = placeColumns(headings);
    this.#column = places;
    for (const fault of faults) this.#faults.add({ row, ...fault });
    // With a column missing every row would be at fault.
    if (this.#faults.count > 0) this.#broken = true;
    const coded = new Set(Object.values(places));
    this.#uncoded = headings.map((_, cell) => cell).filter((cell) => !coded.has(cell));
    this.#origins?.takeHeadings(headings);
  }

  #takeSighting(): void {
    const scanner = this.#scanner;
    const headings = this.#headings!;
    this.#rows += 1;
    if (scanner.cells !== headings.length) {
      this.#faults.add({
        row: scanner.row,
        expected: `has ${scanner.cells} cells where the headings have ${headings.length}`,
      });
      return;
    }
    this.#faultsBefore = this.#faults.count;
    if (scanner.beyondAscii) this.#checkUncoded();
    this.#checkRace();
    const checkpoint = this.#checkpoint();
    const bib = this.#bib();
    const seen = this.#seen();
    const observer = this.#observer();
    const observedAtMs = this.#observedAt();
    const note = this.#note();
    const recordCell = this.#column.record_id;
    if (scanner.from[recordCell] === scanner.to[recordCell]) this.#cellFault('record_id', 'is empty', false);
    // A row with a fault is not added: its other cells have been looked at, and its record id stays free.
    if (this.#faults.count > this.#faultsBefore) return;
    const recordIds = this.#builder.recordIds;
    const records = recordIds.size;
    const recordId = this.#textCode(recordIds, 'record_id');
    if (recordId === records && scanner.beyondAscii && !this.#isUtf8(recordCell)) {
      this.#cellFault('record_id', 'is not UTF-8', false);
      // The id is in the dictionary and wants its row; with a fault there will be no table.
    }
    const added = this.#builder.addCoded(recordId, checkpoint, bib, observer, note, observedAtMs, seen);
    if (added === 'other-content') this.#cellFault('record_id', 'stands in an earlier row with other content');
    else if (added === 'added') this.#origins?.take(recordId, scanner, (fault) => this.#faults.add(fault));
  }

  #isUtf8(cell: number): boolean {
    return decodeUtf8(this.#scanner.bytes, this.#scanner.from[cell]!, this.#scanner.to[cell]!) !== null;
  }

  #checkUncoded(): void {
    for (const cell of this.#uncoded) {
      if (this.#isUtf8(cell)) continue;
      this.#faults.add({ row: this.#scanner.row, column: this.#headings![cell]!, expected: 'is not UTF-8' });
    }
  }

  /** Where the free text of a cell begins. */
  #textStart(cell: number): number {
    const { bytes, from, to } = this.#scanner;
    return unguardedStart(bytes, from[cell]!, to[cell]!);
  }

  #textCode(dictionary: SightingTableBuilder['recordIds'], column: SightingsColumn): number {
    const { bytes, to } = this.#scanner;
    const cell = this.#column[column];
    return dictionary.codeOf(bytes, this.#textStart(cell), to[cell]!);
  }

  #checkRace(): void {
    const { bytes, from, to } = this.#scanner;
    const cell = this.#column.race;
    const start = from[cell]!;
    if (this.#race !== null && isAt(this.#raceBytes, bytes, start, to[cell]!)) return;
    const text = decodeUtf8(bytes, start, to[cell]!);
    if (text === null) this.#cellFault('race', 'is not UTF-8', false);
    else if (this.#race === null) {
      this.#race = text;
      this.#raceBytes = bytes.slice(start, to[cell]);
    } else
      this.#cellFault(
        'race',
        `is another race than "${shownText(this.#race)}" of the rows before: one file holds one race`,
      );
  }

  #checkpoint(): number {
    const { bytes, from, to, row } = this.#scanner;
    const cell = this.#column.checkpoint;
    const { checkpoints } = this.#builder;
    const known = checkpoints.size;
    const checkpoint = this.#textCode(checkpoints, 'checkpoint');
    if (checkpoint === known) this.#checkName('checkpoint', cell);

    const kmCell = this.#column.km;
    const start = from[kmCell]!;
    const end = to[kmCell]!;
    const last = this.#kmBytes[checkpoint];
    if (last && isAt(last, bytes, start, end)) return checkpoint;
    const text = this.#lenientText(kmCell).trim();
    const km = KM.test(text) ? Number(text) : Number.NaN;
    if (!Number.isFinite(km)) this.#cellFault('km', 'is not a distance in km of 0 or more, such as 5 or 17.25');
    else if (this.#builder.hasKm(checkpoint, km)) {
      this.#kmBytes[checkpoint] = bytes.slice(start, end);
      this.#kmRow[checkpoint] ??= row;
    } else {
      const name = decodeUtf8(bytes, from[cell]!, to[cell]!) ?? '';
      const held = this.#builder.kmOf(checkpoint);
      this.#cellFault(
        'km',
        `is not the ${held} km that checkpoint "${shownText(name)}" has in row ${this.#kmRow[checkpoint]}`,
      );
    }
    return checkpoint;
  }

  #observer(): number {
    const { observers } = this.#builder;
    const known = observers.size;
    const observer = this.#textCode(observers, 'observer');
    if (observer === known) this.#checkName('observer', this.#column.observer);
    return observer;
  }

  /** A name that is met for the first time: there, UTF-8, printable. */
  #checkName(column: 'checkpoint' | 'observer', cell: number): void {
    const { bytes, from, to } = this.#scanner;
    const text = decodeUtf8(bytes, from[cell]!, to[cell]!);
    if (text === null) this.#cellFault(column, 'is not UTF-8', false);
    else if (text.trim() === '') this.#cellFault(column, 'is empty', false);
    else if (UNPRINTABLE.test(text)) this.#cellFault(column, 'has a control character');
  }

  #bib(): number {
    const { bytes, to } = this.#scanner;
    const cell = this.#column.bib;
    let start = this.#textStart(cell);
    let end = to[cell]!;
    if (start === end) return NO_BIB;
    const { bibs } = this.#builder;
    // Blanks beyond ASCII and controls come to light when the bib is new.
    while (start < end && bytes[start] === SPACE) start += 1;
    while (end > start && bytes[end - 1] === SPACE) end -= 1;
    if (start === end) return NO_BIB;
    if (this.#isPlain(bytes, start, end)) return bibs.codeOf(bytes, start, end);
    const text = decodeUtf8(bytes, start, end);
    if (text === null) {
      this.#cellFault('bib', 'is not UTF-8', false);
      return NO_BIB;
    }
    const trimmed = text.trim();
    if (UNPRINTABLE.test(trimmed)) this.#cellFault('bib', 'has a control character');
    return trimmed === '' ? NO_BIB : bibs.codeOfText(trimmed);
  }

  /** Whether all bytes are printable ASCII. */
  #isPlain(bytes: Uint8Array, from: number, to: number): boolean {
    for (let i = from; i < to; i += 1) if (bytes[i]! < SPACE || bytes[i]! > 0x7e) return false;
    return true;
  }

  #seen(): number {
    const { bytes, from, to } = this.#scanner;
    const { left: leftCell, right: rightCell, gait: gaitCell, method: methodCell } = this.#column;
    const left = footAt(bytes, from[leftCell]!, to[leftCell]!);
    if (left < 0) this.#cellFault('left', `is not one of ${FOOT_VALUES.join(', ')}`);
    const right = footAt(bytes, from[rightCell]!, to[rightCell]!);
    if (right < 0) this.#cellFault('right', `is not one of ${FOOT_VALUES.join(', ')}`);
    const method = methodAt(bytes, from[methodCell]!, to[methodCell]!);
    if (method < 0) this.#cellFault('method', `is not one of ${SIGHTING_METHODS.join(', ')}`);
    let gait = 0;
    if (gaitCell >= 0 && from[gaitCell] !== to[gaitCell]) {
      gait = gaitAt(bytes, from[gaitCell]!, to[gaitCell]!);
      if (gait < 0) this.#cellFault('gait', `is not one of ${GAITS.join(', ')}`);
    }
    if (gait === WALK) {
      const expected = 'is not unseen, as both feet of a walker (gait walk) are';
      if (left >= 0 && left !== UNSEEN) this.#cellFault('left', expected);
      if (right >= 0 && right !== UNSEEN) this.#cellFault('right', expected);
    }
    return packSeen(left & 3, right & 3, gait & 1, method & 3);
  }

  #observedAt(): number {
    const { bytes, from, to } = this.#scanner;
    const cell = this.#column.observed_at;
    const ms = instantOfBytes(bytes, from[cell]!, to[cell]!);
    if (Number.isNaN(ms)) {
      this.#cellFault('observed_at', 'is not a date and time with offset, such as 2026-10-04T09:30:05+02:00');
    }
    return ms;
  }

  #note(): number {
    const cell = this.#column.note;
    const { notes } = this.#builder;
    const known = notes.size;
    const note = this.#textCode(notes, 'note');
    if (note === known && this.#scanner.beyondAscii && !this.#isUtf8(cell)) {
      this.#cellFault('note', 'is not UTF-8', false);
    }
    return note;
  }
}

/** Reads a whole stream of sightings. `onBytes` is told the bytes of each chunk once they are read. */
export async function readSightings(
  chunks: AsyncIterable<Uint8Array>,
  onBytes: (bytes: number) => void = () => {},
): Promise<Outcome<ReadSightings, SightingsFaults>> {
  const reader = new SightingsReader();
  for await (const chunk of chunks) {
    reader.push(chunk);
    onBytes(chunk.length);
    if (reader.hopeless) break;
  }
  return reader.finish();
}
