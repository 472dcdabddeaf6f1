import { tUpperTail } from '../distributions.ts';
import { meanInterval } from './mean-interval.ts';

export interface PairedTTest {
  readonly method: 'Paired t test';
  /** Pairs. */
  readonly n: number;
  readonly first: number | null;
  readonly second: number | null;
  /** second − first, with its interval. */
  readonly difference: number | null;
  readonly low: number | null;
  readonly high: number | null;
  readonly statistic: number | null;
  readonly df: number | null;
  /** Two-sided. */
  readonly p: number | null;
}

/**
 * Paired t test: whether the same units differ on average between two measurements.
 *
 * t = mean difference ÷ (SD of the differences/√n), df = n − 1; p from the upper tail, so that small ones keep their
 * digits. Difference second − first, in the unit of the values.
 *
 * Source: Student, The probable error of a mean, Biometrika 6 (1908) 1-25, whose sleep data are the classic example.
 *
 * @param first one value a unit
 * @param second of the same units in the same order
 * @param level confidence level of the interval, above 0 and below 1; by default 0.95
 * Without pairs all but `n` is `null`; with one pair, or all differences equal, the interval and the test are `null`.
 * @throws RangeError where lengths differ, for NaN among the values, or a level out of range
 *
 * @example
 * pairedTTest([1, 2, 3], [2, 4, 3]); // { n: 3, difference: 1, statistic: 1.732, df: 2, p: 0.2254, … }
 */
export function pairedTTest(first: readonly number[], second: readonly number[], level = 0.95): PairedTTest {
  if (first.length !== second.length) {
    throw new RangeError(
      `${String(first.length)} first values and ${String(second.length)} second ones; expected pairs`,
    );
  }
  const method = 'Paired t test';
  const { n, mean, sd, low, high } = meanInterval(
    second.map((value, i) => value - first[i]!),
    level,
  );
  const means = { first: meanInterval(first, level).mean, second: meanInterval(second, level).mean };
  if (mean === null || sd === null || sd === 0) {
    return Object.freeze({ method, n, ...means, difference: mean, low, high, statistic: null, df: null, p: null });
  }
  const statistic = mean / (sd / Math.sqrt(n));
  const p = 2 * tUpperTail(Math.abs(statistic), n - 1);
  return Object.freeze({ method, n, ...means, difference: mean, low, high, statistic, df: n - 1, p });
}
