import { normalUpperQuantile } from '../distributions.ts';
import { requireLevel, requireNumber } from '../require-number.ts';

/**
 * Wilson score interval about an estimated share whose precision is that of `n` trials, n need not be whole.
 *
 * For a share that was not counted but computed, with a variance of its own: n is then p(1 − p) ÷ variance, the number
 * of trials that would have this variance ("effective sample size").
 *
 * Source: E. B. Wilson, JASA 22 (1927) 209-212, with the effective sample size of survey practice (E. L. Korn,
 * B. I. Graubard, Survey Methodology 24 (1998) 193-201).
 *
 * @param share the estimate, 0 to 1
 * @param n trials it is worth, above 0
 * @returns ends within 0 to 1; for a counted share x/n the same as `wilsonInterval`
 * @throws RangeError for a share, n or level out of range
 *
 * @example
 * scoreIntervalOfShare(81 / 263, 263); // { low: 0.2553, high: 0.3662 }
 */
export function scoreIntervalOfShare(share: number, n: number, level = 0.95): { low: number; high: number } {
  requireNumber(share, 'share', 0, 1);
  requireNumber(n, 'n', Number.MIN_VALUE, Number.MAX_VALUE);
  const z = normalUpperQuantile((1 - requireLevel(level)) / 2);
  const weight = 1 + (z * z) / n;
  const middle = share + (z * z) / (2 * n);
  const half = z * Math.sqrt((share * (1 - share)) / n + (z * z) / (4 * n * n));
  return { low: Math.max(0, (middle - half) / weight), high: Math.min(1, (middle + half) / weight) };
}
