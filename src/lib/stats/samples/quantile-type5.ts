import { requireNumber } from '../require-number.ts';

/**
 * Quantile by linear interpolation with the steps of the empirical distribution halved: definition 5 (Hazen).
 *
 * The value at position n·p + ½ of the sorted sample, cut to its ends. The i-th of n values is the quantile at
 * (i − ½)/n, so that reading a sample off at those places gives the sample back.
 *
 * Source: R. J. Hyndman, Y. Fan, Sample quantiles in statistical packages, The American Statistician 50 (1996) 361-365.
 *
 * @param sorted values in rising order, none of them NaN; not changed
 * @param probability from 0 to 1
 * @returns `null` for an empty sample
 * @throws RangeError for a probability out of range
 *
 * @example
 * quantileType5([1, 2, 4, 7], 0.375); // 2
 */
export function quantileType5(sorted: ArrayLike<number>, probability: number): number | null {
  requireNumber(probability, 'probability', 0, 1);
  const n = sorted.length;
  if (n === 0) return null;
  const position = n * probability + 0.5;
  const below = Math.min(Math.max(Math.floor(position), 1), n);
  const low = sorted[below - 1]!;
  if (position <= 1) return low;
  const high = sorted[Math.min(below + 1, n) - 1]!;
  return low + (position - below) * (high - low);
}
