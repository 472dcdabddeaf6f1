import { requireNumber } from '../require-number.ts';

/**
 * Quantile by linear interpolation between order statistics: definition 7, R's default and Excel's INC.
 *
 * The value at position 1 + (n − 1)·p of the sorted sample. Where the two neighbours are equal it is exactly that value,
 * so that "not greater than the cut" can be asked of it.
 *
 * Source: R. J. Hyndman, Y. Fan, Sample quantiles in statistical packages, The American Statistician 50 (1996) 361-365.
 *
 * @param sorted values in rising order, none of them NaN; not changed
 * @param probability from 0 (least value) to 1 (greatest)
 * @returns `null` for an empty sample; the one value of a sample of one
 * @throws RangeError for a probability out of range
 *
 * @example
 * quantileType7([1, 2, 4, 7, 8, 9, 10, 12], 0.25); // 3.5
 */
export function quantileType7(sorted: ArrayLike<number>, probability: number): number | null {
  requireNumber(probability, 'probability', 0, 1);
  if (sorted.length === 0) return null;
  const position = (sorted.length - 1) * probability;
  const below = Math.floor(position);
  const low = sorted[below]!;
  const high = sorted[Math.min(below + 1, sorted.length - 1)]!;
  const share = position - below;
  return low === high || share === 0 ? low : (1 - share) * low + share * high;
}
