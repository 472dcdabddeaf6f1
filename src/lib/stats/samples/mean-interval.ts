import { tUpperQuantile } from '../distributions.ts';
import { requireLevel, requireNumber } from '../require-number.ts';

/** A standard deviation this small is what rounding leaves of 0. */
const ROUNDING = 1e-12;

export interface MeanInterval {
  readonly method: 'Student t interval';
  readonly n: number;
  readonly mean: number | null;
  /** Sample standard deviation, divisor n − 1. */
  readonly sd: number | null;
  readonly low: number | null;
  readonly high: number | null;
}

/**
 * Mean of a sample with its standard deviation and the interval of the mean.
 *
 * mean ± t(n − 1)·SD/√n, t the quantile of (1 + level)/2. In the unit of the values.
 *
 * Source: Student, The probable error of a mean, Biometrika 6 (1908) 1-25.
 *
 * @param values any order, not changed
 * @param level confidence level, above 0 and below 1; by default 0.95
 * All but `n` is `null` for an empty sample; `sd` and the interval for one value; the interval where all values are equal
 * (a standard deviation below 1e-12 is 0): no variation seen is no certainty.
 * @throws RangeError for NaN among the values, or a level out of range
 *
 * @example
 * meanInterval([4, 5, 6]); // { n: 3, mean: 5, sd: 1, low: 2.516, high: 7.484 }
 */
export function meanInterval(values: readonly number[], level = 0.95): MeanInterval {
  const method = 'Student t interval';
  requireLevel(level);
  const n = values.length;
  if (n === 0) return Object.freeze({ method, n, mean: null, sd: null, low: null, high: null });
  const mean = values.reduce((sum, value) => sum + requireNumber(value, 'value'), 0) / n;
  if (n === 1) return Object.freeze({ method, n, mean, sd: null, low: null, high: null });
  const spread = Math.sqrt(values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (n - 1));
  if (spread < ROUNDING) return Object.freeze({ method, n, mean, sd: 0, low: null, high: null });
  const half = (tUpperQuantile((1 - level) / 2, n - 1) * spread) / Math.sqrt(n);
  return Object.freeze({ method, n, mean, sd: spread, low: mean - half, high: mean + half });
}
