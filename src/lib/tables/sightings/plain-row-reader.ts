import { FOOT_VALUES, GAITS } from '../../records/foot.ts';
import { NEAR_FEET, packSeen, RULING, SIGHTING_METHODS, UNSEEN, WALK } from '../../sightings/seen.ts';
import { NO_BIB, type SightingTableBuilder } from '../../sightings/sighting-table.ts';
import { UUID_LENGTH } from '../../sightings/record-ids.ts';
import {
  APOSTROPHE,
  CARRIAGE_RETURN,
  COLON,
  COMMA,
  DOT,
  LINE_FEED,
  QUOTE,
  SPACE,
  UPPER_Z,
  ZERO,
  NOT_PLAIN,
  endsCell,
  nameEnd,
  textEnd,
  twoDigits,
  wordAt,
} from '../csv/plain-cells.ts';
import { instantOfBytes } from '../csv/instant-of-bytes.ts';
import { isAt } from '../csv/word-finder.ts';
import type { ColumnPlaces, SightingsColumn } from './sightings-columns.ts';

/** As far beyond the start of a cell bytes are looked at before its end is known. */
const LOOK_AHEAD = 40;

/** Bibs below this are found by their number. */
const MOST_NUMBERS = 200_000;

/** What a row reader knows of the rows before. */
export interface RowsBefore {
  /** The name of the race as it is written; empty before the first row. */
  readonly raceBytes: Uint8Array;
  /** For each checkpoint by its number, a km cell that was found right. */
  readonly kmBytes: readonly Uint8Array[];
}

/** A cell's kind: its place here; 0 is a column that nobody reads. */
const KINDS = [
  null,
  'record_id',
  'race',
  'checkpoint',
  'km',
  'bib',
  'left',
  'right',
  'observer',
  'method',
  'observed_at',
  'note',
  'gait',
  'near_foot',
  'passed',
  'timeEstimated',
] as const satisfies readonly (SightingsColumn | null)[];
const [
  ,
  RECORD,
  RACE,
  CHECKPOINT,
  KM,
  BIB,
  LEFT,
  RIGHT,
  OBSERVER,
  METHOD,
  OBSERVED,
  NOTE,
  GAIT,
  NEAR,
  PASSED,
  ESTIMATED,
] = KINDS.keys();

const bytesOf = (words: readonly string[]): Uint8Array[] =>
  words.map((word) => Uint8Array.from(word, (letter) => letter.charCodeAt(0)));
const FEET = bytesOf(FOOT_VALUES);
const METHOD_WORDS = bytesOf(SIGHTING_METHODS);
const GAIT_WORDS = bytesOf(GAITS);
const NEAR_WORDS = bytesOf(NEAR_FEET);
const TRUE_WORD = bytesOf(['true']);

/**
 * Reads the rows of a sightings table that are written as the export writes nearly all: plain ASCII without quotation marks,
 * every cell in order. Each byte is looked at once. Any other row, a fault above all, is left to the `SightingRowReader`,
 * which takes everything and says the same of these rows; a million take 0.4 s less this way (`npm run bench analyse`).
 */
export class PlainRowReader {
  readonly #builder: SightingTableBuilder;
  readonly #before: RowsBefore;
  readonly #kinds: Uint8Array;
  #raceBytes: Uint8Array = new Uint8Array(0);
  #raceIsPlain = false;
  /** The last checkpoint, its cell and its number. */
  #checkpointBytes = new Uint8Array(0);
  #checkpoint = 0;
  /** Date and hour of the last instant, and its milliseconds. */
  readonly #hourBytes = new Uint8Array(14);
  #hourMs = 0;
  /** The number of each bib that is itself a number, and 1 more; 0 for one that was not met. */
  readonly #bibOfNumber = new Int32Array(MOST_NUMBERS);
  #emptyNote = -1;
  // The cells of the row in work.
  #idIsUuid = false;
  #idFrom = 0;
  #idTo = 0;
  #kmFrom = 0;
  #kmTo = 0;
  #bib = NO_BIB;
  #left = 0;
  #right = 0;
  #observer = 0;
  #method = 0;
  #observedAtMs = 0;
  #note = 0;
  #gait = 0;
  #nearFoot = 0;
  #passed = false;
  #timeEstimated = false;

  constructor(columns: number, places: ColumnPlaces, builder: SightingTableBuilder, before: RowsBefore) {
    this.#builder = builder;
    this.#before = before;
    this.#kinds = new Uint8Array(columns);
    KINDS.forEach((column, kind) => {
      if (column !== null && places[column] >= 0) this.#kinds[places[column]] = kind;
    });
  }

  /**
   * Takes the row that begins at `at` into the table, if it is plain and without fault.
   *
   * @param length how many of `bytes` there are
   * @returns where the next row begins, or {@link NOT_PLAIN}; the table is as it was then
   */
  take(bytes: Uint8Array, at: number, length: number): number {
    const kinds = this.#kinds;
    let start = at;
    for (let cell = 0; cell < kinds.length; cell += 1) {
      if (start + LOOK_AHEAD > length) return NOT_PLAIN;
      const end = this.#cellEnd(kinds[cell]!, bytes, start, length);
      if (end < 0 || end >= length) return NOT_PLAIN;
      if (bytes[end] === COMMA) {
        if (cell === kinds.length - 1) return NOT_PLAIN;
      } else if (cell < kinds.length - 1) return NOT_PLAIN;
      start = end + 1;
    }
    if (bytes[start - 1] === CARRIAGE_RETURN) {
      if (start >= length || bytes[start] !== LINE_FEED) return NOT_PLAIN;
      start += 1;
    } else if (bytes[start - 1] !== LINE_FEED) return NOT_PLAIN;
    return this.#fits(bytes) && this.#add(bytes) ? start : NOT_PLAIN;
  }

  /** Reads the cell of a kind that begins at `at`; where it ends, if it is what it should be. */
  #cellEnd(kind: number, bytes: Uint8Array, at: number, length: number): number {
    switch (kind) {
      case RECORD:
        return this.#idEnd(bytes, at, length);
      case RACE:
        return this.#raceEnd(bytes, at);
      case CHECKPOINT:
        return this.#checkpointEnd(bytes, at, length);
      case KM:
        this.#kmFrom = at;
        return (this.#kmTo = textEnd(bytes, at, length));
      case BIB:
        return this.#bibEnd(bytes, at, length);
      case LEFT:
        this.#left = wordAt(FEET, bytes, at);
        return this.#left < 0 ? NOT_PLAIN : at + FEET[this.#left]!.length;
      case RIGHT:
        this.#right = wordAt(FEET, bytes, at);
        return this.#right < 0 ? NOT_PLAIN : at + FEET[this.#right]!.length;
      case OBSERVER:
        return this.#observerEnd(bytes, at, length);
      case METHOD:
        this.#method = wordAt(METHOD_WORDS, bytes, at);
        return this.#method < 0 ? NOT_PLAIN : at + METHOD_WORDS[this.#method]!.length;
      case OBSERVED:
        return this.#instantEnd(bytes, at, length);
      case NOTE:
        return this.#noteEnd(bytes, at, length);
      case GAIT:
      case NEAR:
      case PASSED:
      case ESTIMATED:
        return this.#rareEnd(kind, bytes, at);
      default:
        return textEnd(bytes, at, length);
    }
  }

  /** A cell that is mostly empty. */
  #rareEnd(kind: number, bytes: Uint8Array, at: number): number {
    const words = kind === GAIT ? GAIT_WORDS : kind === NEAR ? NEAR_WORDS : TRUE_WORD;
    const empty = endsCell(bytes[at]!);
    const word = empty ? 0 : wordAt(words, bytes, at);
    if (word < 0 || (kind === NEAR && word === 0 && !empty)) return NOT_PLAIN;
    if (kind === GAIT) this.#gait = word;
    else if (kind === NEAR) this.#nearFoot = word;
    else if (kind === PASSED) this.#passed = !empty;
    else this.#timeEstimated = !empty;
    return empty ? at : at + words[word]!.length;
  }

  #idEnd(bytes: Uint8Array, at: number, length: number): number {
    this.#idIsUuid = this.#builder.recordIds.isUuid(bytes, at);
    if (this.#idIsUuid) return at + UUID_LENGTH;
    this.#idFrom = at;
    this.#idTo = textEnd(bytes, at, length);
    return this.#idTo === at || bytes[at] === APOSTROPHE ? NOT_PLAIN : this.#idTo;
  }

  #raceEnd(bytes: Uint8Array, at: number): number {
    const race = this.#before.raceBytes;
    if (race !== this.#raceBytes) {
      this.#raceBytes = race;
      // What stood in quotation marks would be several cells without them.
      this.#raceIsPlain =
        race.length > 0 && race.length < LOOK_AHEAD && !race.some((byte) => byte === QUOTE || endsCell(byte));
    }
    if (!this.#raceIsPlain) return NOT_PLAIN;
    for (let i = 0; i < race.length; i += 1) if (bytes[at + i] !== race[i]) return NOT_PLAIN;
    return at + race.length;
  }

  #checkpointEnd(bytes: Uint8Array, at: number, length: number): number {
    const last = this.#checkpointBytes;
    const end = at + last.length;
    if (last.length > 0 && end < length && endsCell(bytes[end]!) && isAt(last, bytes, at, end)) return end;
    const to = nameEnd(bytes, at, length);
    if (to < 0) return NOT_PLAIN;
    this.#checkpoint = this.#builder.checkpoints.codeOf(bytes, at, to);
    this.#checkpointBytes = bytes.slice(at, to);
    return to;
  }

  #observerEnd(bytes: Uint8Array, at: number, length: number): number {
    const to = nameEnd(bytes, at, length);
    if (to >= 0) this.#observer = this.#builder.observers.codeOf(bytes, at, to);
    return to;
  }

  #bibEnd(bytes: Uint8Array, at: number, length: number): number {
    this.#bib = NO_BIB;
    if (endsCell(bytes[at]!)) return at;
    const number = this.#numberEnd(bytes, at);
    if (number >= 0) return number;
    const to = nameEnd(bytes, at, length);
    if (to < 0 || bytes[to - 1] === SPACE) return NOT_PLAIN;
    this.#bib = this.#builder.bibs.codeOf(bytes, at, to);
    return to;
  }

  /** A bib that is a number of at most six digits and written as one, as most are: its place in a table is quicker found. */
  #numberEnd(bytes: Uint8Array, at: number): number {
    let number = 0;
    let end = at;
    for (; end < at + 6; end += 1) {
      const digit = bytes[end]! - ZERO;
      if (digit < 0 || digit > 9) break;
      number = number * 10 + digit;
    }
    if (end === at || bytes[at] === ZERO || number >= MOST_NUMBERS || !endsCell(bytes[end]!)) return NOT_PLAIN;
    const known = this.#bibOfNumber[number]!;
    this.#bib = known > 0 ? known - 1 : this.#builder.bibs.codeOf(bytes, at, end);
    this.#bibOfNumber[number] = this.#bib + 1;
    return end;
  }

  #noteEnd(bytes: Uint8Array, at: number, length: number): number {
    const { notes } = this.#builder;
    if (endsCell(bytes[at]!)) {
      if (this.#emptyNote < 0) this.#emptyNote = notes.codeOf(bytes, at, at);
      this.#note = this.#emptyNote;
      return at;
    }
    const to = textEnd(bytes, at, length);
    if (to < 0 || bytes[at] === APOSTROPHE) return NOT_PLAIN;
    this.#note = notes.codeOf(bytes, at, to);
    return to;
  }

  /** An instant such as `2026-10-04T09:30:05.120Z`, mostly of the hour of the one before; or in any other form. */
  #instantEnd(bytes: Uint8Array, at: number, length: number): number {
    const hour = this.#hourBytes;
    if (bytes[at + 23] === UPPER_Z && isAt(hour, bytes, at, at + hour.length)) {
      const [minutes, seconds, hundredths] = [
        twoDigits(bytes, at + 14),
        twoDigits(bytes, at + 17),
        twoDigits(bytes, at + 20),
      ];
      const thousandths = bytes[at + 22]! - ZERO;
      const fits = minutes < 60 && seconds < 60 && hundredths < 100 && thousandths >= 0 && thousandths <= 9;
      if (fits && bytes[at + 16] === COLON && bytes[at + 19] === DOT) {
        this.#observedAtMs = this.#hourMs + minutes * 60_000 + seconds * 1000 + hundredths * 10 + thousandths;
        return at + 24;
      }
    }
    const to = textEnd(bytes, at, length);
    if (to < 0) return NOT_PLAIN;
    this.#observedAtMs = instantOfBytes(bytes, at, to);
    if (Number.isNaN(this.#observedAtMs)) return NOT_PLAIN;
    if (to === at + 24 && bytes[at + 23] === UPPER_Z && twoDigits(bytes, at + 17) < 60) {
      hour.set(bytes.subarray(at, at + hour.length));
      this.#hourMs = Math.floor(this.#observedAtMs / 3_600_000) * 3_600_000;
    }
    return to;
  }

  /** Whether the cells of the row go together. */
  #fits(bytes: Uint8Array): boolean {
    const km = this.#before.kmBytes[this.#checkpoint];
    if (!km || !isAt(km, bytes, this.#kmFrom, this.#kmTo)) return false;
    const unseen = this.#left === UNSEEN && this.#right === UNSEEN;
    if (this.#gait === WALK && !unseen) return false;
    return !this.#passed || (unseen && this.#gait !== WALK && this.#method !== RULING);
  }

  #add(bytes: Uint8Array): boolean {
    const { recordIds } = this.#builder;
    const added = this.#builder.addCoded(
      this.#idIsUuid ? recordIds.codeOfUuid() : recordIds.codeOf(bytes, this.#idFrom, this.#idTo),
      this.#checkpoint,
      this.#bib,
      this.#observer,
      this.#note,
      this.#observedAtMs,
      packSeen(this.#left, this.#right, this.#gait, this.#method, this.#passed, this.#timeEstimated),
      this.#nearFoot,
    );
    return added !== 'other-content';
  }
}
