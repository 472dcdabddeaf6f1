/** A straight line through most of the points and how far these scatter about it. */
export interface RobustLine {
  readonly intercept: number;
  readonly slope: number;
  /** Robust standard deviation of the residuals. */
  readonly sd: number;
  readonly n: number;
}

/** Median, of a copy; linear in the number of values. NaN for no value; a NaN counts as greater than all numbers. */
export function median(values: readonly number[] | Float64Array): number {
  const left = new Float64Array(values);
  const n = left.length;
  if (n === 0) return Number.NaN;
  const middle = n >> 1;
  const upper = hasNaN(left) ? left.sort()[middle]! : select(left, middle);
  if (n % 2) return upper;
  let lower = -Infinity;
  for (let i = 0; i < middle; i += 1) if (!(left[i]! <= lower)) lower = left[i]!;
  return (lower + upper) / 2;
}

/** As `some(Number.isNaN)`, which takes longer than all the rest of a median. */
function hasNaN(values: Float64Array): boolean {
  for (let i = 0; i < values.length; i += 1) if (Number.isNaN(values[i]!)) return true;
  return false;
}

/** The value that sorting would put at `place`; what is before it is then no greater. Hoare's way, which reorders. */
function select(values: Float64Array, place: number): number {
  let from = 0;
  let to = values.length - 1;
  while (from < to) {
    const pivot = middleOf(values[from]!, values[(from + to) >> 1]!, values[to]!);
    let i = from;
    let j = to;
    while (i <= j) {
      while (values[i]! < pivot) i += 1;
      while (values[j]! > pivot) j -= 1;
      if (i > j) break;
      const swapped = values[i]!;
      values[i] = values[j]!;
      values[j] = swapped;
      i += 1;
      j -= 1;
    }
    if (place <= j) to = j;
    else if (place >= i) from = i;
    else break;
  }
  return values[place]!;
}

function middleOf(a: number, b: number, c: number): number {
  return Math.max(Math.min(a, b), Math.min(Math.max(a, b), c));
}

/** Median absolute deviation from the median, scaled to be the standard deviation of a normal distribution. */
export function scaledMad(values: readonly number[] | Float64Array, centre = median(values)): number {
  const distances = new Float64Array(values.length);
  for (let i = 0; i < values.length; i += 1) distances[i] = Math.abs(values[i]! - centre);
  return 1.4826 * median(distances);
}

const BISQUARE = 4.685;
const ROUNDS = 6;

/**
 * Regression of `y` on `x` by iterated reweighting with Tukey's bisquare (tuning constant 4.685, the usual one for 95 %
 * efficiency), started from slope 1: wrong pairs of up to about a third do not move it. With fewer than eight pairs the
 * slope stays 1. Linear in the number of pairs.
 */
export function robustLine(x: Float64Array, y: Float64Array): RobustLine {
  const n = x.length;
  let slope = 1;
  const residuals = new Float64Array(n);
  for (let i = 0; i < n; i += 1) residuals[i] = y[i]! - x[i]!;
  let intercept = median(residuals);
  let sd = scaledMad(residuals, intercept);
  for (let round = 0; round < ROUNDS && n >= 8 && sd > 0; round += 1) {
    let w = 0;
    let wx = 0;
    let wy = 0;
    let wxx = 0;
    let wxy = 0;
    for (let i = 0; i < n; i += 1) {
      const u = (y[i]! - intercept - slope * x[i]!) / (BISQUARE * sd);
      if (Math.abs(u) >= 1) continue;
      const weight = (1 - u * u) ** 2;
      w += weight;
      wx += weight * x[i]!;
      wy += weight * y[i]!;
      wxx += weight * x[i]! * x[i]!;
      wxy += weight * x[i]! * y[i]!;
    }
    const spread = wxx - (wx * wx) / w;
    if (!(spread > 1e-12 * wxx)) break;
    slope = (wxy - (wx * wy) / w) / spread;
    intercept = (wy - slope * wx) / w;
    for (let i = 0; i < n; i += 1) residuals[i] = y[i]! - intercept - slope * x[i]!;
    sd = scaledMad(residuals, 0);
  }
  return { intercept, slope, sd, n };
}
