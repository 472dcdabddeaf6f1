import { robustLine, type RobustLine } from './robust-line.ts';

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
  /** Times scatter about a line by so much at least, in logarithms. */
  leastSd: 0.004,
  /** Share of runners whose time follows from nothing: stops, walks, wrong points to compare with. */
  strayShare: 0.02,
  /** The same for a time known to be right, slower and faster ones apart: slow ones happen, fast ones hardly. */
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
/** Density of a normal deviation `z`, in units of `sd`. */
export const normalDensity = (z: number, sd: number) => Math.exp(-0.5 * z * z - LOG_SQRT_TWO_PI) / sd;

/**
 * How times at one point follow from those at another, in logarithms of seconds since the start. Runners who come apart are slower by far more than anybody is
 * faster, so the scatter above the line has a scale of its own.
 */
export interface PaceLine {
  readonly intercept: number;
  readonly slope: number;
  readonly sdSlower: number;
  readonly sdFaster: number;
  readonly n: number;
}

/** A deviation from the expected logarithm of a time, in units of the scatter on its side. */
export function paceDeviation(line: Pick<PaceLine, 'sdSlower' | 'sdFaster'>, residual: number): number {
  return residual / (residual > 0 ? line.sdSlower : line.sdFaster);
}

/** Density of a deviation: two halves of a normal distribution that meet at the expected time. */
export function paceDensity(line: Pick<PaceLine, 'sdSlower' | 'sdFaster'>, z: number): number {
  return normalDensity(z, (line.sdSlower + line.sdFaster) / 2);
}

/** How wide times scatter about the line, on both sides together. */
export const scatterOf = (line: PaceLine): number => line.sdSlower + line.sdFaster;

/** By how much the logarithm of a time grows between two distances by the usual power law; NaN without both. */
export function powerLawStep(fromKm: number, toKm: number): number {
  const ratio = toKm / fromKm;
  return ratio > 0 && Number.isFinite(ratio) ? PACE.exponent * Math.log(ratio) : Number.NaN;
}

/** The line by the usual power law, where only `n` pairs of times are known; `null` without both distances. */
export function powerLawLine(fromKm: number, toKm: number, n: number): PaceLine | null {
  const intercept = powerLawStep(fromKm, toKm);
  if (Number.isNaN(intercept)) return null;
  return { intercept, slope: 1, sdSlower: PACE.defaultSd, sdFaster: PACE.defaultSd, n };
}

/** The line through pairs of logarithms of times; of many pairs an even sample is taken. */
export function fitPaceLine(xs: readonly number[], ys: readonly number[]): PaceLine {
  const step = Math.max(1, Math.floor(xs.length / PACE.sample));
  const taken = (values: readonly number[]) => Float64Array.from(values.filter((_, i) => i % step === 0));
  const [x, y] = [taken(xs), taken(ys)];
  return withScales(robustLine(x, y), x, y);
}

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
