import { requireCount } from '../require-number.ts';

/**
 * Variance of the difference between two paired proportions with ½ added to each of the four kinds of pairs.
 *
 * (b + c + 1 − (b − c)²/(n + 2)) ÷ (n + 2)². Never 0: a sample in which nobody changed keeps a sensible weight among others.
 *
 * Source: A. Agresti, Y. Min, Stat. Med. 24 (2005) 729-740.
 *
 * @param gained b, @param lost c, pairs that changed one way and the other; b + c ≤ n
 * @param paired n, at least 1
 * @throws RangeError for other counts
 *
 * @example
 * pairedDifferenceVariance(16, 8, 100); // 0.0023426
 */
export function pairedDifferenceVariance(gained: number, lost: number, paired: number): number {
  requireCount(gained, 'gained');
  requireCount(lost, 'lost');
  requireCount(paired, 'paired');
  if (paired === 0 || gained + lost > paired) {
    throw new RangeError(`${String(gained)} and ${String(lost)} of ${String(paired)} pairs changed`);
  }
  const n = paired + 2;
  return (gained + lost + 1 - (gained - lost) ** 2 / n) / n ** 2;
}
