import { requireNumber } from '../require-number.ts';

/**
 * Holm's step-down adjustment of p-values for multiple comparisons.
 *
 * Keeps the chance of even one false alarm among all of them at the level it would have for one, under any dependence.
 * The k-th least of m p-values is multiplied by m − k + 1, then made no less than those before it, and at most 1.
 *
 * Source: S. Holm, A simple sequentially rejective multiple test procedure, Scandinavian Journal of Statistics 6 (1979) 65-70.
 *
 * @param pValues in any order, each 0 to 1; the result has the same order; empty gives empty
 * @throws RangeError for a value that is no probability
 *
 * @example
 * holmAdjustment([0.01, 0.04, 0.03, 0.005]); // [0.03, 0.06, 0.06, 0.02]
 */
export function holmAdjustment(pValues: readonly number[]): readonly number[] {
  const order = pValues.map((p, i) => ({ p: requireNumber(p, 'p-value', 0, 1), i })).sort((a, b) => a.p - b.p);
  const adjusted = new Array<number>(pValues.length);
  let least = 0;
  for (const [k, { p, i }] of order.entries()) {
    least = Math.min(1, Math.max(least, p * (pValues.length - k)));
    adjusted[i] = least;
  }
  return Object.freeze(adjusted);
}
