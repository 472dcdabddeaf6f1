import { FOOT_VALUES, GAITS } from '../records/foot.ts';
import type { Sighting, TallyRecord } from '../records/record.ts';
import { IdColumn } from './id-column.ts';
import { instantMs } from './instant-ms.ts';
import {
  gaitOf,
  isPassed,
  isTimeEstimated,
  leftOf,
  LIVE,
  methodOf,
  packSeen,
  rightOf,
  SIGHTING_METHODS,
} from './seen.ts';
import { NO_BIB } from './sighting-table.ts';

/** Records as they were read: plain sightings in columns, a row each, and the others as they are. */
export interface GatheredRecords {
  readonly ids: IdColumn;
  /** Checkpoint ids, bibs and observers by the numbers in the columns. */
  readonly checkpoints: readonly string[];
  readonly bibs: readonly string[];
  readonly observers: readonly string[];
  readonly checkpoint: Int32Array;
  /** `NO_BIB` where it could not be read. */
  readonly bib: Int32Array;
  readonly observer: Int32Array;
  /** See `packSeen`. */
  readonly seen: Uint16Array;
  readonly observedAtMs: Float64Array;
  /** What is no sighting, and sightings from a clip of which more is known. */
  readonly others: readonly TallyRecord[];
}

/** What is kept of a sighting. */
export type PlainSightingFields = Pick<
  Sighting,
  | 'id'
  | 'observer'
  | 'checkpoint'
  | 'bib'
  | 'left'
  | 'right'
  | 'gait'
  | 'method'
  | 'observedAt'
  | 'passed'
  | 'timeEstimated'
>;

/** Numbers texts 0, 1, 2 … in the order in which they are met. */
class TextNumbers {
  readonly texts: string[] = [];
  readonly #numbers = new Map<string, number>();

  of(text: string): number {
    let number = this.#numbers.get(text);
    if (number === undefined) {
      number = this.texts.push(text) - 1;
      this.#numbers.set(text, number);
    }
    return number;
  }
}

/**
 * Takes the records of a race as they are read, batch by batch, and keeps of each plain sighting its columns alone: a
 * million objects kept until the last is read cost more time than reading them.
 */
export class RecordGatherer {
  readonly #ids = new IdColumn();
  readonly #checkpoints = new TextNumbers();
  readonly #bibs = new TextNumbers();
  readonly #observers = new TextNumbers();
  readonly #others: TallyRecord[] = [];
  #checkpoint = new Int32Array(1024);
  #bib = new Int32Array(1024);
  #observer = new Int32Array(1024);
  #seen = new Uint16Array(1024);
  #observedAtMs = new Float64Array(1024);

  /** Records taken so far. */
  get size(): number {
    return this.#ids.size + this.#others.length;
  }

  take(records: readonly TallyRecord[]): void {
    for (const record of records) {
      if (record.kind === 'sighting' && record.clip === undefined) this.takeSighting(record);
      else this.#others.push(record);
    }
  }

  /** Takes one plain sighting; of a record no more than this is kept. */
  takeSighting(record: PlainSightingFields): void {
    const row = this.#ids.size;
    if (row === this.#seen.length) this.#grow();
    this.#ids.push(record.id);
    this.#checkpoint[row] = this.#checkpoints.of(record.checkpoint);
    this.#bib[row] = record.bib === null ? NO_BIB : this.#bibs.of(record.bib);
    this.#observer[row] = this.#observers.of(record.observer);
    this.#observedAtMs[row] = instantMs(record.observedAt);
    this.#seen[row] = packSeen(
      FOOT_VALUES.indexOf(record.left),
      FOOT_VALUES.indexOf(record.right),
      record.gait === 'walk' ? 1 : 0,
      SIGHTING_METHODS.indexOf(record.method),
      record.passed === true,
      record.timeEstimated === true,
    );
  }

  /** What was taken. The gatherer is used up: what it holds is handed over, not copied. */
  finish(): GatheredRecords {
    const size = this.#ids.size;
    return {
      ids: this.#ids,
      checkpoints: this.#checkpoints.texts,
      bibs: this.#bibs.texts,
      observers: this.#observers.texts,
      checkpoint: this.#checkpoint.subarray(0, size),
      bib: this.#bib.subarray(0, size),
      observer: this.#observer.subarray(0, size),
      seen: this.#seen.subarray(0, size),
      observedAtMs: this.#observedAtMs.subarray(0, size),
      others: this.#others,
    };
  }

  #grow(): void {
    const length = this.#seen.length * 2;
    const larger = <Column extends Int32Array | Float64Array | Uint16Array>(column: Column, grown: Column): Column => {
      grown.set(column);
      return grown;
    };
    this.#checkpoint = larger(this.#checkpoint, new Int32Array(length));
    this.#bib = larger(this.#bib, new Int32Array(length));
    this.#observer = larger(this.#observer, new Int32Array(length));
    this.#seen = larger(this.#seen, new Uint16Array(length));
    this.#observedAtMs = larger(this.#observedAtMs, new Float64Array(length));
  }
}

/** Two parts as one; the rows of the second come after those of the first. */
export function joinGathered(one: GatheredRecords, other: GatheredRecords): GatheredRecords {
  const size = one.ids.size + other.ids.size;
  const observedAtMs = new Float64Array(size);
  observedAtMs.set(one.observedAtMs);
  observedAtMs.set(other.observedAtMs, one.ids.size);
  const seen = new Uint16Array(size);
  seen.set(one.seen);
  seen.set(other.seen, one.ids.size);
  const checkpoints = joinTexts(one.checkpoints, one.checkpoint, other.checkpoints, other.checkpoint);
  const bibs = joinTexts(one.bibs, one.bib, other.bibs, other.bib);
  const observers = joinTexts(one.observers, one.observer, other.observers, other.observer);
  return {
    ids: one.ids.joined(other.ids),
    ...{ checkpoints: checkpoints.texts, checkpoint: checkpoints.column },
    ...{ bibs: bibs.texts, bib: bibs.column },
    ...{ observers: observers.texts, observer: observers.column },
    seen,
    observedAtMs,
    others: [...one.others, ...other.others],
  };
}

function joinTexts(
  texts: readonly string[],
  column: Int32Array,
  otherTexts: readonly string[],
  otherColumn: Int32Array,
): { texts: string[]; column: Int32Array } {
  const numbers = new TextNumbers();
  for (const text of texts) numbers.of(text);
  const numberOf = otherTexts.map((text) => numbers.of(text));
  const joined = new Int32Array(column.length + otherColumn.length);
  joined.set(column);
  for (let i = 0, at = column.length; i < otherColumn.length; i += 1, at += 1) {
    const number = otherColumn[i]!;
    joined[at] = number < 0 ? number : numberOf[number]!;
  }
  return { texts: numbers.texts, column: joined };
}

/** A gathered sighting as a record again, with what the findings need of it; its tablet and its note are gone. */
export function sightingAt(gathered: GatheredRecords, row: number, race: string): Sighting {
  const seen = gathered.seen[row]!;
  const observedAt = new Date(gathered.observedAtMs[row]!).toISOString();
  const bib = gathered.bib[row]!;
  return {
    ...{ id: gathered.ids.at(row), kind: 'sighting', race, device: '', seq: 1, madeAt: observedAt },
    observer: gathered.observers[gathered.observer[row]!]!,
    checkpoint: gathered.checkpoints[gathered.checkpoint[row]!]!,
    bib: bib === NO_BIB ? null : gathered.bibs[bib]!,
    gait: GAITS[gaitOf(seen)]!,
    left: FOOT_VALUES[leftOf(seen)]!,
    right: FOOT_VALUES[rightOf(seen)]!,
    method: methodOf(seen) === LIVE ? 'live' : 'clip',
    observedAt,
    passed: isPassed(seen),
    timeEstimated: isTimeEstimated(seen),
  };
}
