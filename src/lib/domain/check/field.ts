import type { CheckInput, CheckSighting } from './check-input.ts';
import { median, robustLine, scaledMad, type RobustLine } from './robust-line.ts';

/** Constants of the pace model; common practice, no source, unless said. */
export const PACE = {
  /** Below this many pairs of times the scatter between two points is not trusted to be small. */
  fewPairs: 8,
  /** Runners from whom a start can be estimated: with three, one may be wrong. */
  fewestStarts: 3,
  /** Scatter of the logarithm taken when there are few pairs. */
  defaultSd: 0.12,
  /** Times later in the race grow a little faster than the distance: exponent of the usual power law (from memory). */
  exponent: 1.06,
  leastSd: 0.004,
  /** Share of runners whose time follows from nothing: stops, walks, wrong points to compare with. */
  strayShare: 0.02,
  /** The same two for a time known to be right: slow ones happen, fast ones hardly. */
  straySlow: 0.01,
  strayFast: 0.0005,
  /** Scatter in seconds between two observers of one runner when it cannot be measured. */
  observersApartSeconds: 6,
  /** More pairs than this do not sharpen the line. */
  sample: 1500,
  /** Nearer to the start than this a time says nothing on pace. */
  leastElapsedSeconds: 30,
} as const;

const LOG_SQRT_TWO_PI = 0.5 * Math.log(2 * Math.PI);
const normalDensity = (z: number, sd: number) => Math.exp(-0.5 * z * z - LOG_SQRT_TWO_PI) / sd;

/**
 * How times at one point follow from those at another. Runners who come apart are slower by far more than anybody is
 * faster, so the scatter above the line has a scale of its own.
 */
export interface PaceLine {
  readonly intercept: number;
  readonly slope: number;
  readonly sdSlower: number;
  readonly sdFaster: number;
  readonly n: number;
}

/** Deviations from the expected logarithm of a time, each in units of the scatter on its own side. */
export function paceDeviation(line: Pick<PaceLine, 'sdSlower' | 'sdFaster'>, residual: number): number {
  return residual / (residual > 0 ? line.sdSlower : line.sdFaster);
}

/** Density of a deviation: two halves of a normal distribution that meet at the expected time. */
export function paceDensity(line: Pick<PaceLine, 'sdSlower' | 'sdFaster'>, z: number): number {
  return normalDensity(z, (line.sdSlower + line.sdFaster) / 2);
}

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
export class Field {
  readonly input: CheckInput;
  /** Every bib of the start list, the results and the sightings; the first `listed` are on the list. */
  readonly bibs: readonly string[];
  readonly listed: number;
  readonly hasList: boolean;
  readonly finish: number;
  /** For each sighting its bib's index or -1. */
  readonly bibOf: Int32Array;
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
  readonly #fits = new Map<number, PaceLine | null>();
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
    this.bibs = bibs;
    const sightingsOf: number[][] = bibs.map(() => []);
    for (let i = 0; i < n; i += 1) if (this.bibOf[i]! >= 0) sightingsOf[this.bibOf[i]!]!.push(i);
    this.sightingsOf = sightingsOf;
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
      : this.#estimateStart();
    this.startGuessed = Number.isNaN(start);
    this.startMs = this.startGuessed ? guessedStart(input, this.atMs) : start;
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

  bibIndex(bib: string): number {
    return this.#index.get(bib) ?? -1;
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
    let best: Expectation | null = null;
    for (let from = 0; from <= this.finish; from += 1) {
      if (from === point) continue;
      const x = this.log(bib, from);
      if (Number.isNaN(x)) continue;
      const fit = this.fit(from, point);
      if (fit && (!best || scatter(fit) < scatter(best.line))) {
        best = { mean: fit.intercept + fit.slope * x, line: fit, from };
      }
    }
    return best;
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
    if (xs.length < PACE.fewPairs) {
      const ratio = this.km(to) / this.km(from);
      if (!(ratio > 0 && Number.isFinite(ratio))) return null;
      const sd = PACE.defaultSd;
      return { intercept: PACE.exponent * Math.log(ratio), slope: 1, sdSlower: sd, sdFaster: sd, n: xs.length };
    }
    const step = Math.max(1, Math.floor(xs.length / PACE.sample));
    const taken = (values: number[]) => Float64Array.from(values.filter((_, i) => i % step === 0));
    const [x, y] = [taken(xs), taken(ys)];
    return withScales(robustLine(x, y), x, y);
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

  /**
   * Without a start: each runner seen at two checkpoints points back to one at even pace; else the results do. The
   * median is a little early where runners slow down, which the lines between the points take up.
   */
  #estimateStart(): number {
    const { checkpoints, raceKm } = this.input;
    const first = new Float64Array(this.bibs.length * this.finish).fill(Number.NaN);
    for (let i = 0; i < this.atMs.length; i += 1) {
      if (this.bibOf[i]! < 0 || this.sighting(i).method !== 'live') continue;
      const at = this.bibOf[i]! * this.finish + this.sighting(i).checkpoint;
      if (!(first[at]! <= this.atMs[i]!)) first[at] = this.atMs[i]!;
    }
    let best: number[] = [];
    let span = 0;
    for (let a = 0; a < this.finish; a += 1) {
      for (let b = 0; b < this.finish; b += 1) {
        const kmA = checkpoints[a]!.km;
        const kmB = checkpoints[b]!.km;
        if (kmB - kmA <= span) continue;
        const starts: number[] = [];
        for (let bib = 0; bib < this.bibs.length; bib += 1) {
          const tA = first[bib * this.finish + a]!;
          const start = tA - (kmA * (first[bib * this.finish + b]! - tA)) / (kmB - kmA);
          if (!Number.isNaN(start)) starts.push(start);
        }
        if (starts.length >= PACE.fewestStarts) [best, span] = [starts, kmB - kmA];
      }
    }
    if (best.length) return median(best);
    if (raceKm === null || !this.input.results) return Number.NaN;
    const starts: number[] = [];
    for (let bib = 0; bib < this.bibs.length; bib += 1) {
      for (let a = 0; a < this.finish; a += 1) {
        const start = first[bib * this.finish + a]! - (this.finishSeconds[bib]! * 1000 * checkpoints[a]!.km) / raceKm;
        if (!Number.isNaN(start)) starts.push(start);
      }
    }
    return starts.length >= PACE.fewestStarts ? median(starts) : Number.NaN;
  }
}

/** A usual pace, to stand in for a start that nobody knows; common practice, no source. */
const GUESSED_MS_PER_KM = 6 * 60_000;

function guessedStart(input: CheckInput, atMs: Float64Array): number {
  let earliest = Number.NaN;
  input.sightings.forEach((s, i) => {
    const start = atMs[i]! - input.checkpoints[s.checkpoint]!.km * GUESSED_MS_PER_KM;
    if (s.method === 'live' && !(earliest <= start)) earliest = start;
  });
  return earliest;
}

const scatter = (line: PaceLine) => line.sdSlower + line.sdFaster;

/** Standard normal quantile of 0.95. */
const Z95 = 1.645;

function withScales(line: RobustLine, x: Float64Array, y: Float64Array): PaceLine {
  const residuals = Float64Array.from(x, (value, i) => y[i]! - line.intercept - line.slope * value).sort();
  const tail = Math.floor(residuals.length * 0.05);
  const least = Math.max(line.sd, PACE.leastSd);
  return {
    intercept: line.intercept,
    slope: line.slope,
    n: line.n,
    sdFaster: Math.max(least, -residuals[tail]! / Z95),
    sdSlower: Math.max(least, residuals[residuals.length - 1 - tail]! / Z95),
  };
}

/** The tablet of a sighting; an observer without one counts as a tablet. */
export function deviceOf(sighting: CheckSighting): string {
  return sighting.device ?? `observer ${sighting.observer}`;
}

function offsetOf(input: CheckInput, shiftsMs: ReadonlyMap<string, number>, i: number): number {
  const device = deviceOf(input.sightings[i]!);
  return (input.offsetsMs.get(device) ?? 0) + (shiftsMs.get(device) ?? 0);
}

const CLIP_SLACK_MS = 10 * 60_000;

/** Live sightings have a time that says when the runner passed; clips only when it lies within the live ones there. */
function timedSightings(sightings: readonly CheckSighting[], atMs: Float64Array): Uint8Array {
  const range = new Map<number, [number, number]>();
  sightings.forEach((s, i) => {
    if (s.method !== 'live') return;
    const known = range.get(s.checkpoint);
    if (!known) range.set(s.checkpoint, [atMs[i]!, atMs[i]!]);
    else range.set(s.checkpoint, [Math.min(known[0], atMs[i]!), Math.max(known[1], atMs[i]!)]);
  });
  return Uint8Array.from(sightings, (s, i) => {
    if (s.method === 'live') return 1;
    if (s.method === 'ruling') return 0;
    const [from, to] = range.get(s.checkpoint) ?? [Infinity, -Infinity];
    return atMs[i]! >= from - CLIP_SLACK_MS && atMs[i]! <= to + CLIP_SLACK_MS ? 1 : 0;
  });
}
