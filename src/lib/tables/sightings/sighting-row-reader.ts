import { FOOT_VALUES, GAITS } from '../../records/foot.ts';
import { NEAR_FEET, packSeen, RULING, SIGHTING_METHODS, UNSEEN, WALK } from '../../sightings/seen.ts';
import { NO_BIB, type SightingTableBuilder } from '../../sightings/sighting-table.ts';
import type { TextDictionary } from '../../sightings/text-dictionary.ts';
import { UNPRINTABLE } from '../../records/unprintable.ts';
import { decodeUtf8 } from '../../records/utf8.ts';
import type { CsvScanner } from '../csv/csv-scanner.ts';
import type { FaultList } from '../csv/fault-list.ts';
import { instantOfBytes } from '../csv/instant-of-bytes.ts';
import { shownText } from '../csv/shown-text.ts';
import type { SightingOrigins } from './sighting-origins.ts';
import type { ColumnPlaces, SightingsColumn } from './sightings-columns.ts';
import { unguardedStart } from '../csv/spreadsheet-guard.ts';
import { isAt, wordFinder } from '../csv/word-finder.ts';

const KM = /^(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?$/;
const SPACE = 0x20;

const footAt = wordFinder(FOOT_VALUES);
const gaitAt = wordFinder(GAITS);
const methodAt = wordFinder(SIGHTING_METHODS);
const markAt = wordFinder(['true']);
const nearFootAt = wordFinder(NEAR_FEET);

/** Where rows are read from, and where what they say goes. */
export interface SightingRowContext {
  readonly scanner: CsvScanner;
  readonly builder: SightingTableBuilder;
  readonly faults: FaultList;
  readonly origins: SightingOrigins | null;
}

/**
 * Reads the rows below the headings of a sightings table, straight from the bytes: a race has hundreds of thousands of
 * them. A row with a fault is left out of the table.
 */
export class SightingRowReader {
  readonly #scanner: CsvScanner;
  readonly #builder: SightingTableBuilder;
  readonly #faults: FaultList;
  readonly #origins: SightingOrigins | null;
  readonly #headings: readonly string[];
  readonly #column: ColumnPlaces;
  /** Cells that no dictionary checks for being UTF-8. */
  readonly #uncoded: readonly number[];
  #race: string | null = null;
  /** How the race is written. */
  raceBytes = new Uint8Array(0);
  /** For each checkpoint the km cell that was last read and found right, so that equal ones need no second look. */
  readonly kmBytes: Uint8Array[] = [];
  readonly #kmRow: number[] = [];

  constructor(headings: readonly string[], places: ColumnPlaces, context: SightingRowContext) {
    this.#scanner = context.scanner;
    this.#builder = context.builder;
    this.#faults = context.faults;
    this.#origins = context.origins;
    this.#headings = headings;
    this.#column = places;
    const coded = new Set(Object.values(places));
    this.#uncoded = headings.map((_, cell) => cell).filter((cell) => !coded.has(cell));
  }

  /** The race of the rows so far. */
  get race(): string | null {
    return this.#race;
  }

  /** Takes the row that the scanner is at. */
  take(): void {
    const scanner = this.#scanner;
    const { length } = this.#headings;
    if (scanner.cells !== length) {
      this.#faults.add({ row: scanner.row, expected: `has ${scanner.cells} cells where the headings have ${length}` });
      return;
    }
    const faultsBefore = this.#faults.count;
    if (scanner.beyondAscii) this.#checkUncoded();
    this.#checkRace();
    const checkpoint = this.#checkpoint();
    const bib = this.#bib();
    const seen = this.#seen();
    const observer = this.#observer();
    const observedAtMs = this.#observedAt();
    const note = this.#note();
    const nearFoot = this.#nearFoot();
    const recordCell = this.#column.record_id;
    if (scanner.from[recordCell] === scanner.to[recordCell]) this.#cellFault('record_id', 'is empty', false);
    // A row with a fault is not added: its other cells have been looked at, and its record id stays free.
    if (this.#faults.count > faultsBefore) return;
    const recordIds = this.#builder.recordIds;
    const records = recordIds.size;
    const recordId = this.#textCode(recordIds, 'record_id');
    if (recordId === records && scanner.beyondAscii && !this.#isUtf8(recordCell)) {
      this.#cellFault('record_id', 'is not UTF-8', false);
      // The id is in the dictionary and wants its row; with a fault there will be no table.
    }
    const added = this.#builder.addCoded(recordId, checkpoint, bib, observer, note, observedAtMs, seen, nearFoot);
    if (added === 'other-content') this.#cellFault('record_id', 'stands in an earlier row with other content');
    else if (added === 'added') this.#origins?.take(recordId, scanner, (fault) => this.#faults.add(fault));
  }

  /** A fault of one cell of the row in work. */
  #cellFault(column: SightingsColumn, expected: string, showCell = true): void {
    this.#faults.addLater(() => ({
      row: this.#scanner.row,
      column,
      ...(showCell ? { found: this.#scanner.lenientText(this.#column[column]) } : {}),
      expected,
    }));
  }

  #isUtf8(cell: number): boolean {
    return decodeUtf8(this.#scanner.bytes, this.#scanner.from[cell]!, this.#scanner.to[cell]!) !== null;
  }

  #checkUncoded(): void {
    for (const cell of this.#uncoded) {
      if (this.#isUtf8(cell)) continue;
      this.#faults.add({ row: this.#scanner.row, column: this.#headings[cell]!, expected: 'is not UTF-8' });
    }
  }

  /** Where the free text of a cell begins. */
  #textStart(cell: number): number {
    const { bytes, from, to } = this.#scanner;
    return unguardedStart(bytes, from[cell]!, to[cell]!);
  }

  #textCode(dictionary: Pick<TextDictionary, 'codeOf'>, column: SightingsColumn): number {
    const { bytes, to } = this.#scanner;
    const cell = this.#column[column];
    return dictionary.codeOf(bytes, this.#textStart(cell), to[cell]!);
  }

  #checkRace(): void {
    const { bytes, from, to } = this.#scanner;
    const cell = this.#column.race;
    const start = from[cell]!;
    if (this.#race !== null && isAt(this.raceBytes, bytes, start, to[cell]!)) return;
    const text = decodeUtf8(bytes, start, to[cell]!);
    if (text === null) this.#cellFault('race', 'is not UTF-8', false);
    else if (this.#race === null) {
      this.#race = text;
      this.raceBytes = bytes.slice(start, to[cell]);
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
    const last = this.kmBytes[checkpoint];
    if (last && isAt(last, bytes, start, end)) return checkpoint;
    const text = this.#scanner.lenientText(kmCell).trim();
    const km = KM.test(text) ? Number(text) : Number.NaN;
    if (!Number.isFinite(km)) this.#cellFault('km', 'is not a distance in km of 0 or more, such as 5 or 17.25');
    else if (this.#builder.hasKm(checkpoint, km)) {
      this.kmBytes[checkpoint] = bytes.slice(start, end);
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
    const passed = this.#mark('passed');
    if (passed) this.#checkPassed(left, right, gait, method);
    return packSeen(left & 3, right & 3, gait & 1, method & 3, passed, this.#mark('timeEstimated'));
  }

  /** A cell that is `true` or empty; no such column is empty. */
  #mark(column: 'passed' | 'timeEstimated'): boolean {
    const { bytes, from, to } = this.#scanner;
    const cell = this.#column[column];
    if (cell < 0 || from[cell] === to[cell]) return false;
    const marked = markAt(bytes, from[cell]!, to[cell]!) === 0;
    if (!marked) this.#cellFault(column, 'is neither true nor empty');
    return marked;
  }

  #checkPassed(left: number, right: number, gait: number, method: number): void {
    const expected = 'is not unseen, as both feet of a runner who was let pass (passed true) are';
    if (left >= 0 && left !== UNSEEN) this.#cellFault('left', expected);
    if (right >= 0 && right !== UNSEEN) this.#cellFault('right', expected);
    if (gait === WALK) this.#cellFault('gait', 'is walk for a runner who was let pass (passed true): nobody looked');
    if (method === RULING) this.#cellFault('passed', 'is true for a ruling, which says what was seen');
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

  /** Empty, or no such column, is not known. */
  #nearFoot(): number {
    const { bytes, from, to } = this.#scanner;
    const cell = this.#column.near_foot;
    if (cell < 0 || from[cell] === to[cell]) return 0;
    const foot = nearFootAt(bytes, from[cell]!, to[cell]!);
    if (foot > 0) return foot;
    this.#cellFault('near_foot', 'is not one of left, right');
    return 0;
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
