import { deviceOf, type CheckInput, type CheckSighting } from '../input/check-input.ts';
import { estimateStart, guessStart } from './estimate-start.ts';
import {
  fitPaceLine,
  normalDensity,
  PACE,
  paceDensity,
  paceDeviation,
  powerLawLine,
  scatterOf,
  type PaceLine,
} from './pace-line.ts';
import { median, scaledMad } from './robust-line.ts';
import { timedSightings } from './timed-sightings.ts';

/** What is to be expected of one runner at one point, in logarithms of seconds since the start. */
export interface Expectation {
  readonly mean: number;
  readonly line: PaceLine;
  /** The point it follows from. */
  readonly from: number;
}

/**
 * The field of a race in arrays: who was seen where and when, and how times at one point follow from times at another.
 * A point is a checkpoint (its index) or the finish (the number of checkpoints). All times are as logarithms of the
 * seconds since the runner's own start, or the race's.
 */
export class CheckedField {
  readonly input: CheckInput;
  /** Every bib of the start list, the results and the sightings; the first `listed` are on the list. */
  readonly bibs: readonly string[];
  readonly listed: number;
  readonly hasList: boolean;
  readonly finish: number;
  /** For each sighting its bib's index or -1. */
  readonly bibOf: Int32Array;
  /** For each sighting its checkpoint: read a million times, where the sightings themselves lie all over the memory. */
  readonly checkpointOf: Int32Array;
  /** For each bib the indices of its sightings, in the order given. */
  readonly sightingsOf: readonly (readonly number[])[];
  readonly finishSeconds: Float64Array;
  readonly hasResult: Uint8Array;
  /** Clock time after measured and found offsets, milliseconds. */
  readonly atMs: Float64Array;
  /** Seconds since the start for each sighting; NaN when unknown. */
  readonly elapsed: Float64Array;
  /** Start of the race in milliseconds: given, estimated or, for want of either, guessed. NaN without a sighting. */
  readonly startMs: number;
  readonly startKnown: boolean;
  /** With neither a start nor a way to estimate one, a stand-in from which only differences of times mean something. */
  readonly startGuessed: boolean;
  readonly observersApartSeconds: number;
  readonly #ownStart: Float64Array;
  readonly #index = new Map<string, number>();
  readonly #log: Float64Array;
  /** For each bib and checkpoint its first sighting there, or -1; for each sighting the next of the same bib there. */
  readonly #firstAt: Int32Array;
  readonly #nextAt: Int32Array;
  readonly #fits = new Map<number, PaceLine | null>();
  readonly #lines = new Map<number, readonly { readonly from: number; readonly line: PaceLine }[]>();
  readonly #marginals = new Map<number, { mean: number; sd: number } | null>();
  readonly #kms: Float64Array;

  /** @param shiftsMs clock offsets found in the sightings themselves, by tablet, to be added like the measured ones */
  constructor(input: CheckInput, shiftsMs: ReadonlyMap<string, number> = new Map()) {
    this.input = input;
    this.finish = input.checkpoints.length;
    this.#kms = Float64Array.from([...input.checkpoints.map((c) => c.km), input.raceKm ?? Number.NaN]);
    const bibs: string[] = [];
    const indexOf = (bib: string) => {
      let i = this.#index.get(bib);
      if (i === undefined) {
        i = bibs.length;
        this.#index.set(bib, i);
        bibs.push(bib);
      }
      return i;
    };
    // Without a start list the results are the best list of who ran.
    const list = input.startList ?? input.results;
    for (const { bib } of list ?? []) indexOf(bib);
    this.hasList = list !== null;
    this.listed = bibs.length;
    for (const { bib } of input.results ?? []) indexOf(bib);
    const n = input.sightings.length;
    this.bibOf = new Int32Array(n);
    input.sightings.forEach((s, i) => (this.bibOf[i] = s.bib === null ? -1 : indexOf(s.bib)));
    this.checkpointOf = Int32Array.from(input.sightings, ({ checkpoint }) => checkpoint);
    this.bibs = bibs;
    const sightingsOf: number[][] = bibs.map(() => []);
    for (let i = 0; i < n; i += 1) if (this.bibOf[i]! >= 0) sightingsOf[this.bibOf[i]!]!.push(i);
    this.sightingsOf = sightingsOf;
    this.#firstAt = new Int32Array(bibs.length * this.finish).fill(-1);
    this.#nextAt = new Int32Array(n).fill(-1);
    for (let i = n - 1; i >= 0; i -= 1) {
      if (this.bibOf[i]! < 0) continue;
      const at = this.bibOf[i]! * this.finish + this.checkpointOf[i]!;
      this.#nextAt[i] = this.#firstAt[at]!;
      this.#firstAt[at] = i;
    }
    this.finishSeconds = new Float64Array(bibs.length).fill(Number.NaN);
    this.hasResult = new Uint8Array(bibs.length);
    for (const { bib, finishSeconds } of input.results ?? []) {
      const i = indexOf(bib);
      this.hasResult[i] = 1;
      if (finishSeconds !== null) this.finishSeconds[i] = finishSeconds;
    }
    this.#ownStart = new Float64Array(bibs.length).fill(Number.NaN);
    for (const { bib, startMs } of input.startList ?? []) {
      if (startMs !== undefined) this.#ownStart[indexOf(bib)] = startMs;
    }
    this.atMs = new Float64Array(n);
    for (let i = 0; i < n; i += 1) this.atMs[i] = input.sightings[i]!.atMs + offsetOf(input, shiftsMs, i);
    this.startKnown = input.startMs !== null || this.#ownStart.some((ms) => !Number.isNaN(ms));
    const start = this.startKnown
      ? (input.startMs ?? median(this.#ownStart.filter((ms) => !Number.isNaN(ms))))
      : estimateStart(input, this.bibOf, this.atMs, this.finishSeconds);
    this.startGuessed = Number.isNaN(start);
    this.startMs = this.startGuessed ? guessStart(input, this.atMs) : start;
    this.elapsed = new Float64Array(n).fill(Number.NaN);
    const timed = timedSightings(input.sightings, this.atMs);
    for (let i = 0; i < n; i += 1) {
      if (timed[i] && this.bibOf[i]! >= 0) this.elapsed[i] = this.elapsedFor(this.bibOf[i]!, i);
    }
    this.#log = this.#representatives();
    this.observersApartSeconds = this.#measureObserversApart();
  }

  sighting(i: number): CheckSighting {
    return this.input.sightings[i]!;
  }

  /** The indices of a bib's sightings at a checkpoint, in the order given. */
  sightingsAt(bib: number, checkpoint: number): number[] {
    const found: number[] = [];
    for (let i = this.#firstAt[bib * this.finish + checkpoint]!; i >= 0; i = this.#nextAt[i]!) found.push(i);
    return found;
  }

  bibIndex(bib: string): number {
    return this.#index.get(bib) ?? -1;
  }

  /** The number of a checkpoint in keys of doubts: stored decisions name them, so it must not change with the order of km. */
  placeOf(checkpoint: number): number {
    return this.input.checkpoints[checkpoint]!.place ?? checkpoint;
  }

  km(point: number): number {
    return this.#kms[point] ?? Number.NaN;
  }

  /** The runner's own start or the race's, milliseconds since 1970. */
  startOf(bib: number): number {
    const own = this.#ownStart[bib]!;
    return Number.isNaN(own) ? this.startMs : own;
  }

  hasOwnStart(bib: number): boolean {
    return !Number.isNaN(this.#ownStart[bib]!);
  }

  /** Seconds since the start of `bib` at which sighting `i` was made, whosever bib it carries. */
  elapsedFor(bib: number, i: number): number {
    return (this.atMs[i]! - this.startOf(bib)) / 1000;
  }

  /** Seconds from the start that `elapsed` counts from to the finish; NaN when there is none. */
  finishElapsed(bib: number): number {
    const seconds = this.finishSeconds[bib]!;
    const { finishClock, startMs } = this.input;
    if (finishClock === 'gun' && startMs !== null && this.hasOwnStart(bib)) {
      return seconds - (this.startOf(bib) - startMs) / 1000;
    }
    return seconds;
  }

  /** Logarithm of the seconds at which `bib` was at `point`, NaN when it was not or they are not known. */
  log(bib: number, point: number): number {
    return this.#log[bib * (this.finish + 1) + point]!;
  }

  /** What the runner's other points make likely at `point`; `null` when there is nothing to go by. */
  expect(bib: number, point: number): Expectation | null {
    for (const { from, line } of this.#linesTo(point)) {
      const x = this.log(bib, from);
      if (!Number.isNaN(x)) return { mean: line.intercept + line.slope * x, line, from };
    }
    return null;
  }

  /** The lines from all other points to this one, the narrowest first. */
  #linesTo(point: number): readonly { readonly from: number; readonly line: PaceLine }[] {
    const known = this.#lines.get(point);
    if (known) return known;
    const lines: { from: number; line: PaceLine }[] = [];
    for (let from = 0; from <= this.finish; from += 1) {
      const line = from === point ? null : this.fit(from, point);
      if (line) lines.push({ from, line });
    }
    lines.sort((a, b) => scatterOf(a.line) - scatterOf(b.line) || a.from - b.from);
    this.#lines.set(point, lines);
    return lines;
  }

  /** Density of the logarithm of time at `point` for `bib`: what its other points make likely, or the whole field's. */
  density(bib: number, point: number, logSeconds: number): number {
    const whole = this.fieldDensity(point, logSeconds);
    const expected = this.expect(bib, point);
    if (!expected) return whole;
    const z = paceDeviation(expected.line, logSeconds - expected.mean);
    return (1 - PACE.strayShare) * paceDensity(expected.line, z) + PACE.strayShare * whole;
  }

  /** Density of the logarithm of time at `point` over the whole field. 1 when nothing is known. */
  fieldDensity(point: number, logSeconds: number): number {
    const marginal = this.marginal(point);
    if (!marginal) return 1;
    const z = (logSeconds - marginal.mean) / marginal.sd;
    // A little weight over everything, so that no time is impossible.
    return 0.99 * normalDensity(z, marginal.sd) + 0.01 * normalDensity(z / 4, marginal.sd * 4);
  }

  marginal(point: number): { mean: number; sd: number } | null {
    let known = this.#marginals.get(point);
    if (known === undefined) {
      const values: number[] = [];
      for (let bib = 0; bib < this.bibs.length; bib += 1) {
        const value = this.log(bib, point);
        if (!Number.isNaN(value)) values.push(value);
      }
      const mean = median(values);
      known = values.length < 3 ? null : { mean, sd: Math.max(scaledMad(values, mean), 0.02) };
      this.#marginals.set(point, known);
    }
    return known;
  }

  /** How log seconds at `to` follow from those at `from`; `null` when nothing can be said. */
  fit(from: number, to: number): PaceLine | null {
    const key = from * (this.finish + 1) + to;
    let fit = this.#fits.get(key);
    if (fit === undefined) this.#fits.set(key, (fit = this.#fit(from, to)));
    return fit;
  }

  #fit(from: number, to: number): PaceLine | null {
    if (this.startGuessed) return null;
    const xs: number[] = [];
    const ys: number[] = [];
    for (let bib = 0; bib < this.bibs.length; bib += 1) {
      const x = this.log(bib, from);
      const y = this.log(bib, to);
      if (Number.isNaN(x) || Number.isNaN(y)) continue;
      xs.push(x);
      ys.push(y);
    }
    return xs.length < PACE.fewPairs ? powerLawLine(this.km(from), this.km(to), xs.length) : fitPaceLine(xs, ys);
  }

  /** One time for each bib and point: the first sighting of the checkpoint, and the finish. */
  #representatives(): Float64Array {
    const points = this.finish + 1;
    const log = new Float64Array(this.bibs.length * points).fill(Number.NaN);
    for (let i = 0; i < this.elapsed.length; i += 1) {
      const seconds = this.elapsed[i]!;
      if (!(seconds >= PACE.leastElapsedSeconds)) continue;
      const at = this.bibOf[i]! * points + this.sighting(i).checkpoint;
      const value = Math.log(seconds);
      if (!(log[at]! <= value)) log[at] = value;
    }
    for (let bib = 0; bib < this.bibs.length; bib += 1) {
      const seconds = this.finishElapsed(bib);
      if (seconds >= PACE.leastElapsedSeconds) log[bib * points + this.finish] = Math.log(seconds);
    }
    return log;
  }

  #measureObserversApart(): number {
    const apart: number[] = [];
    for (const group of this.sightingsOf) {
      for (let a = 0; a < group.length; a += 1) {
        for (let b = a + 1; b < group.length; b += 1) {
          const [i, j] = [group[a]!, group[b]!];
          if (this.sighting(i).checkpoint !== this.sighting(j).checkpoint) continue;
          if (this.sighting(i).observer === this.sighting(j).observer) continue;
          const seconds = this.elapsed[i]! - this.elapsed[j]!;
          if (!Number.isNaN(seconds)) apart.push(seconds);
        }
      }
    }
    return apart.length < PACE.fewPairs ? PACE.observersApartSeconds : Math.max(3, scaledMad(apart));
  }
}

function offsetOf(input: CheckInput, shiftsMs: ReadonlyMap<string, number>, i: number): number {
  const device = deviceOf(input.sightings[i]!);
  return (input.offsetsMs.get(device) ?? 0) + (shiftsMs.get(device) ?? 0);
}
