import { betaQuantile, betaUpperQuantile } from '../distributions.ts';
import { type Interval, NO_INTERVAL } from '../interval.ts';
import { requireCount, requireLevel } from '../require-number.ts';

/**
 * Clopper–Pearson "exact" interval for a single proportion.
 *
 * Its coverage is never below the level, at the price of width. Used where an odds ratio of discordant pairs is
 * wanted: the interval of the share b/(b+c) carries over to b/c.
 *
 * low is the (1−level)/2 quantile of Beta(x, n−x+1), high the upper one of Beta(x+1, n−x); low is 0 at x = 0 and high
 * is 1 at x = n.
 *
 * Source: C. J. Clopper, E. S. Pearson, The use of confidence or fiducial limits illustrated in the case of the
 * binomial, Biometrika 26 (1934) 404-413.
 *
 * @param x successes, 0 ≤ x ≤ n
 * @param n trials; with none both ends are `null`
 * @param level confidence level, above 0 and below 1; by default 0.95
 * @throws RangeError for a count that is not whole, x > n, or a level out of range
 *
 * @example
 * clopperPearsonInterval(682, 925); // { low: 0.7076683, high: 0.7654066 }
 */
export function clopperPearsonInterval(x: number, n: number, level = 0.95): Interval {
  requireCount(n, 'n');
  requireCount(x, 'x');
  requireLevel(level);
  if (x > n) throw new RangeError(`x is ${String(x)}; expected at most n = ${String(n)}`);
  if (n === 0) return NO_INTERVAL;
  const tail = (1 - level) / 2;
  return Object.freeze({
    low: x === 0 ? 0 : betaQuantile(tail, x, n - x + 1),
    high: x === n ? 1 : betaUpperQuantile(tail, x + 1, n - x),
  });
}
