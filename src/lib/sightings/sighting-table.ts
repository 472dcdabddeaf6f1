import { FOOT_VALUES, GAITS } from '../records/foot.ts';
import type { SeenRunner } from '../records/seen-runner.ts';
import { RecordIds } from './record-ids.ts';
import { packSeen, SIGHTING_METHODS, type SightingMethod, NEAR_FEET, type NearFoot } from './seen.ts';
import { sortedTexts } from './sorted-texts.ts';
import { TextDictionary, type PackedTexts } from './text-dictionary.ts';

/** The bib number of a sighting whose bib nobody could read. */
export const NO_BIB = -1;

/** A record as it is put into the table. Blanks at the ends of its bib do not count. */
export interface SightingEntry extends SeenRunner {
  recordId: string;
  checkpoint: string;
  /** Distance from the start. */
  km: number;
  observer: string;
  method: SightingMethod;
  /** Milliseconds since 1970-01-01T00:00Z. */
  observedAtMs: number;
  note?: string;
  /** Let pass by the sampling rule; both feet are unseen then. */
  passed?: boolean;
  timeEstimated?: boolean;
  /** By default `unknown`. */
  nearFoot?: NearFoot;
}

/**
 * `same-record`: that id was there with the same content, and counts as one record. `other-content`: it was there with
 * other content. `other-km`: its checkpoint was there with another distance. The last two leave the table as it was.
 */
export type Added = 'added' | 'same-record' | 'other-content' | 'other-km';

/**
 * Sightings in columns, each row one record. Texts are replaced by their place in a sorted list, so comparing numbers
 * compares texts by code point: a million sightings are a few typed arrays.
 */
export interface SightingTable {
  /** Records in the table. */
  readonly size: number;
  /** Records that were met again with the same content. */
  readonly sameRecord: number;
  /** By km, then by code point. */
  readonly checkpoints: readonly { readonly name: string; readonly km: number }[];
  /** By code point. */
  readonly bibs: readonly string[];
  /** By code point. */
  readonly observers: readonly string[];
  /** For each row its place in `checkpoints`. */
  readonly checkpoint: Int32Array;
  /** For each row its place in `bibs`, or `NO_BIB`. */
  readonly bib: Int32Array;
  /** For each row its place in `observers`. */
  readonly observer: Int32Array;
  /** Milliseconds since 1970-01-01T00:00Z. */
  readonly observedAtMs: Float64Array;
  /** Feet, gait, method, let pass and estimated time: see `packSeen`. */
  readonly seen: Uint16Array;
  /** For each row the foot that was near, as its place in `NEAR_FEET`. */
  readonly nearFoot: Uint8Array;
  recordId(row: number): string;
  /** Compares the record ids of two rows by code point. */
  compareRecordIds(a: number, b: number): number;
}

export interface BuilderOptions {
  /** Whether each record id that comes is new and after the one before, as in a race's view; `add` throws when one is not. */
  readonly idsAscend?: boolean;
  /** Whether record ids that are UUIDs are not looked up: whoever says so asks `allDiffer` in the end. */
  readonly idsAssumedNew?: boolean;
  /** Says the record id of a row where the ids are kept elsewhere: they come as under `idsAscend`, unchecked. */
  readonly recordId?: (row: number) => string;
}

/** What a builder has gathered, in arrays that pass between threads: a part of a table. */
export interface SightingPart {
  readonly recordIds: Int32Array;
  readonly checkpoints: PackedTexts;
  /** For each checkpoint. */
  readonly km: readonly number[];
  readonly bibs: PackedTexts;
  readonly observers: PackedTexts;
  readonly notes: PackedTexts;
  readonly checkpoint: Int32Array;
  readonly bib: Int32Array;
  readonly observer: Int32Array;
  readonly note: Int32Array;
  readonly observedAtMs: Float64Array;
  readonly seen: Uint16Array;
  readonly nearFoot: Uint8Array;
}

/** Gathers sightings for a {@link SightingTable}. */
export class SightingTableBuilder {
  // The reader of large files looks its bytes up in these itself and calls `addCoded`.
  readonly recordIds: RecordIds;
  readonly checkpoints = new TextDictionary();
  readonly bibs = new TextDictionary();
  readonly observers = new TextDictionary();
  readonly notes = new TextDictionary();
  /** The record ids where they come in order: then a row's place is all that tells them apart. */
  readonly #ids: string[] | null;
  readonly #recordId: ((row: number) => string) | null;
  #km: number[] = [];
  #size = 0;
  #sameRecord = 0;
  #checkpoint = new Int32Array(256);
  #bib = new Int32Array(256);
  #observer = new Int32Array(256);
  #note = new Int32Array(256);
  #observedAtMs = new Float64Array(256);
  #seen = new Uint16Array(256);
  #nearFoot = new Uint8Array(256);

  constructor({ idsAscend = false, idsAssumedNew = false, recordId }: BuilderOptions = {}) {
    this.recordIds = new RecordIds(idsAssumedNew);
    const ids: string[] | null = idsAscend ? [] : null;
    this.#ids = ids;
    this.#recordId = recordId ?? (ids && ((row) => ids[row]!));
  }

  /** Rows added so far. */
  get size(): number {
    return this.#size;
  }

  /** Adds one sighting. Throws on a `km` or `observedAtMs` that is not finite. */
  add(entry: SightingEntry): Added {
    if (!Number.isFinite(entry.km) || !Number.isFinite(entry.observedAtMs)) {
      throw new RangeError(`sighting ${entry.recordId}: km ${entry.km}, observed at ${entry.observedAtMs} ms`);
    }
    const checkpoint = this.checkpoints.codeOfName(entry.checkpoint);
    if (!this.hasKm(checkpoint, entry.km)) return 'other-km';
    const bib = entry.bib?.trim() ?? '';
    return this.addCoded(
      this.#codeOfId(entry.recordId),
      checkpoint,
      bib === '' ? NO_BIB : this.bibs.codeOfName(bib),
      this.observers.codeOfName(entry.observer),
      this.notes.codeOfName(entry.note ?? ''),
      entry.observedAtMs,
      packSeen(
        FOOT_VALUES.indexOf(entry.left),
        FOOT_VALUES.indexOf(entry.right),
        GAITS.indexOf(entry.gait),
        SIGHTING_METHODS.indexOf(entry.method),
        entry.passed,
        entry.timeEstimated,
      ),
      NEAR_FEET.indexOf(entry.nearFoot ?? 'unknown'),
    );
  }

  /** The number of the next record id; for `addCoded`, of a builder whose ids are kept elsewhere. */
  nextId(): number {
    if (!this.#recordId || this.#ids) throw new Error('record ids of this table are kept here');
    return this.#size;
  }

  #codeOfId(id: string): number {
    const ids = this.#ids;
    if (!ids) return this.#recordId ? this.#size : this.recordIds.codeOfText(id);
    const last = ids.at(-1);
    // Ids are hexadecimal digits and hyphens: their order as strings is that by code point.
    if (last !== undefined && !(id > last)) throw new Error(`record id ${id} does not come after ${last}`);
    return ids.push(id) - 1;
  }

  /** Whether a checkpoint (its number in `checkpoints`) lies at `km`; the first distance it is asked about is taken. */
  hasKm(checkpoint: number, km: number): boolean {
    const held = this.#km[checkpoint];
    if (held !== undefined) return held === km;
    this.#km[checkpoint] = km;
    return true;
  }

  /** The distance of a checkpoint by its number in `checkpoints`, once it has one. */
  kmOf(checkpoint: number): number | undefined {
    return this.#km[checkpoint];
  }

  /** As `add`, with everything looked up in the dictionaries already; the record id last, and its row always added. */
  addCoded(
    recordId: number,
    checkpoint: number,
    bib: number,
    observer: number,
    note: number,
    observedAtMs: number,
    seen: number,
    nearFoot = 0,
  ): Added {
    const row = recordId;
    if (row < this.#size) {
      const same =
        this.#checkpoint[row] === checkpoint &&
        this.#bib[row] === bib &&
        this.#observer[row] === observer &&
        this.#note[row] === note &&
        this.#observedAtMs[row] === observedAtMs &&
        this.#seen[row] === seen &&
        this.#nearFoot[row] === nearFoot;
      if (!same) return 'other-content';
      this.#sameRecord += 1;
      return 'same-record';
    }
    if (row !== this.#size) throw new Error('a record id was looked up without adding its row');
    if (row === this.#seen.length) this.#growTo(row * 2);
    this.#checkpoint[row] = checkpoint;
    this.#bib[row] = bib;
    this.#observer[row] = observer;
    this.#note[row] = note;
    this.#observedAtMs[row] = observedAtMs;
    this.#seen[row] = seen;
    this.#nearFoot[row] = nearFoot;
    this.#size += 1;
    return 'added';
  }

  /** All that was added, to hand to another thread; `null` when not all record ids are UUIDs. The builder is used up. */
  part(): SightingPart | null {
    const size = this.#size;
    const words = this.recordIds.words();
    if (words === null) return null;
    return {
      recordIds: words,
      checkpoints: this.checkpoints.packed(),
      km: this.#km,
      bibs: this.bibs.packed(),
      observers: this.observers.packed(),
      notes: this.notes.packed(),
      checkpoint: this.#checkpoint.subarray(0, size),
      bib: this.#bib.subarray(0, size),
      observer: this.#observer.subarray(0, size),
      note: this.#note.subarray(0, size),
      observedAtMs: this.#observedAtMs.subarray(0, size),
      seen: this.#seen.subarray(0, size),
      nearFoot: this.#nearFoot.subarray(0, size),
    };
  }

  /**
   * Takes what another thread has read, after all that was added here. Its record ids are not looked up.
   *
   * @returns false, and the builder is of no more use, when a checkpoint lies elsewhere there
   */
  append(part: SightingPart): boolean {
    const checkpoints = this.checkpoints.codesOf(part.checkpoints);
    if (!checkpoints.every((checkpoint, code) => this.hasKm(checkpoint, part.km[code]!))) return false;
    const size = this.#size;
    const added = part.seen.length;
    this.recordIds.append(part.recordIds);
    if (size + added > this.#seen.length) this.#growTo(size + added);
    this.#size += added;
    this.#observedAtMs.set(part.observedAtMs, size);
    this.#seen.set(part.seen, size);
    this.#nearFoot.set(part.nearFoot, size);
    putCodes(this.#checkpoint, size, part.checkpoint, checkpoints);
    putCodes(this.#bib, size, part.bib, this.bibs.codesOf(part.bibs));
    putCodes(this.#observer, size, part.observer, this.observers.codesOf(part.observers));
    putCodes(this.#note, size, part.note, this.notes.codesOf(part.notes));
    return true;
  }

  /** The table of all that was added. The builder is used up: what it holds is handed over, not copied. */
  build(): SightingTable {
    const size = this.#size;
    const checkpoint = this.#checkpoint.subarray(0, size);
    const bib = this.#bib.subarray(0, size);
    const observer = this.#observer.subarray(0, size);
    const km = this.#km;
    const places = sortedTexts(this.checkpoints, checkpoint, (a, b) => km[a.code]! - km[b.code]!);
    const recordIds = this.recordIds;
    const recordId = this.#recordId;
    return {
      size,
      sameRecord: this.#sameRecord,
      checkpoints: places.map(({ code, text }) => ({ name: text, km: km[code]! })),
      bibs: sortedTexts(this.bibs, bib).map(({ text }) => text),
      observers: sortedTexts(this.observers, observer).map(({ text }) => text),
      checkpoint,
      bib,
      observer,
      observedAtMs: this.#observedAtMs.subarray(0, size),
      seen: this.#seen.subarray(0, size),
      nearFoot: this.#nearFoot.subarray(0, size),
      recordId: recordId ?? ((row) => recordIds.text(row)),
      compareRecordIds: recordId ? (a, b) => a - b : (a, b) => recordIds.compare(a, b),
    };
  }

  #growTo(length: number): void {
    const larger = <Column extends Int32Array | Float64Array | Uint16Array | Uint8Array>(
      column: Column,
      grown: Column,
    ): Column => {
      grown.set(column);
      return grown;
    };
    this.#checkpoint = larger(this.#checkpoint, new Int32Array(length));
    this.#bib = larger(this.#bib, new Int32Array(length));
    this.#observer = larger(this.#observer, new Int32Array(length));
    this.#note = larger(this.#note, new Int32Array(length));
    this.#observedAtMs = larger(this.#observedAtMs, new Float64Array(length));
    this.#seen = larger(this.#seen, new Uint16Array(length));
    this.#nearFoot = larger(this.#nearFoot, new Uint8Array(length));
  }
}

/** Writes `codes` into `column` from `at` on, each as the number that it has here; what is below 0 stays. */
function putCodes(column: Int32Array, at: number, codes: Int32Array, numbers: Int32Array): void {
  for (let i = 0; i < codes.length; i += 1) column[at + i] = codes[i]! < 0 ? codes[i]! : numbers[codes[i]!]!;
}
