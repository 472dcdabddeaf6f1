import { normalUpperQuantile } from '../distributions.ts';
import { type Interval, NO_INTERVAL } from '../interval.ts';
import { requireCount, requireLevel, requireNumber } from '../require-number.ts';

/**
 * Wilson score interval for a single proportion, without continuity correction.
 *
 * For a share seen in a sample: it stays within [0, 1], is never empty at 0 or n, and covers close to its level even
 * in small samples, which the textbook p ± z·√(p(1−p)/n) does not.
 *
 * low, high = (x + z²/2 ∓ z·√(x(n−x)/n + z²/4)) ÷ (n + z²), z the normal quantile of (1 + level)/2.
 *
 * Source: E. B. Wilson, Probable inference, the law of succession, and statistical inference, JASA 22 (1927) 209-212;
 * method 3 of R. G. Newcombe, Statistics in Medicine 17 (1998) 857-872.
 *
 * @param x successes, 0 ≤ x ≤ n
 * @param n trials; with none both ends are `null`
 * @param level confidence level, above 0 and below 1; by default 0.95
 * @throws RangeError for a count that is not whole, x > n, or a level out of range
 *
 * @example
 * wilsonInterval(81, 263); // { low: 0.2553, high: 0.3662 }
 */
export function wilsonInterval(x: number, n: number, level = 0.95): Interval {
  requireCount(n, 'n');
  requireCount(x, 'x');
  if (x > n) throw new RangeError(`x is ${String(x)}; expected at most n = ${String(n)}`);
  return wilsonIntervalOfExpected(x, n, level);
}

/**
 * The same for a number of successes that is expected, not counted, and need not be whole: what a sample still to be
 * taken would give.
 */
export function wilsonIntervalOfExpected(x: number, n: number, level = 0.95): Interval {
  requireCount(n, 'n');
  requireNumber(x, 'x', 0, n);
  requireLevel(level);
  if (n === 0) return NO_INTERVAL;
  const z = normalUpperQuantile((1 - level) / 2);
  const middle = x + (z * z) / 2;
  const half = z * Math.sqrt((x * (n - x)) / n + (z * z) / 4);
  // At 0 and at n one end is exact; the difference of two equal numbers would leave a rounding error there.
  return Object.freeze({
    low: x === 0 ? 0 : Math.max(0, (middle - half) / (n + z * z)),
    high: x === n ? 1 : Math.min(1, (middle + half) / (n + z * z)),
  });
}
