import { requireNumber } from '../require-number.ts';

/** Which p-value of the McNemar test decides: the exact one, or twice the one-sided mid-p. */
export type McnemarVariant = 'exact' | 'midP';

/** So that a p-value which equals α, save for its last digits, rejects. */
const LAST_DIGITS = 1 + 1e-12;

/**
 * For d = 0, 1, … `most` discordant pairs the least number in one direction at which the McNemar test rejects, two-sided.
 *
 * d + 1 stands for never. From d to d + 1 the number stays or grows by one, so that one walk finds them all; the upper
 * binomial tail goes along: with c kept, Pr(X ≥ c) grows by Pr(X = c − 1)/2, with c raised it falls by Pr(X = c)/2.
 *
 * @param alpha two-sided error of the first kind, above 0 and below 1
 * @throws RangeError for a number out of range
 *
 * @example
 * mcnemarCriticalCounts(6, 0.05, 'exact'); // [1, 2, 3, 4, 5, 6, 6]
 */
export function mcnemarCriticalCounts(most: number, alpha: number, variant: McnemarVariant): Int32Array {
  const limit = requireNumber(alpha, 'alpha', Number.MIN_VALUE, 1) * LAST_DIGITS;
  const critical = new Int32Array(most + 1);
  critical[0] = 1;
  let c = 1;
  let tail = 0;
  // Pr(X = c − 1).
  let below = 1;
  for (let d = 1; d <= most; d += 1) {
    const kept = tail + below / 2;
    const belowKept = (below * d) / (d + 1 - c) / 2;
    const p = 2 * kept - (variant === 'midP' ? (belowKept * (d - c + 1)) / c : 0);
    if (c <= d && 2 * c > d && p <= limit) {
      tail = kept;
      below = belowKept;
    } else {
      tail -= (below * (d - c)) / c / 2;
      below = (below * d) / c / 2;
      c += 1;
    }
    critical[d] = c;
  }
  return critical;
}
