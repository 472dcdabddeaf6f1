import { type ChiSquareResult, chiSquareResult } from '../contingency/chi-square-result.ts';
import { requireCount, requireNumber } from '../require-number.ts';

export interface CochranQResult extends ChiSquareResult {
  readonly method: 'Cochran Q test';
  /** Units looked at on every occasion. */
  readonly n: number;
  readonly occasions: number;
}

/**
 * Cochran's Q test for a yes/no property looked at on three or more occasions in the same units.
 *
 * Whether the property is equally frequent on all occasions; with two it is McNemar's test.
 * Q = (k − 1)(k·ΣC_j² − (ΣC_j)²) ÷ (k·ΣR_i − ΣR_i²), C_j the column and R_i the row totals; df = k − 1.
 *
 * Source: W. G. Cochran, The comparison of percentages in matched samples, Biometrika 37 (1950) 256-266.
 *
 * @param outcomes 0 or 1, row after row: unit 0 on all its occasions, then unit 1, …; its length is a multiple of k
 * @param occasions k, at least 2
 * `statistic`, `df` and `p` are `null` without a unit, or where every unit is the same on all occasions.
 * @throws RangeError for an outcome other than 0 or 1, or a length that is no multiple of `occasions`
 *
 * @example
 * cochranQTest([1, 1, 0, 1, 0, 0, 1, 1, 0], 3); // { n: 3, occasions: 3, statistic: 4.667, df: 2, p: 0.097, … }
 */
export function cochranQTest(outcomes: ArrayLike<number>, occasions: number): CochranQResult {
  requireCount(occasions, 'occasions');
  requireNumber(occasions, 'occasions', 2);
  if (outcomes.length % occasions !== 0) {
    throw new RangeError(`${String(outcomes.length)} outcomes are no whole number of rows of ${String(occasions)}`);
  }
  const n = outcomes.length / occasions;
  const columnTotals = new Array<number>(occasions).fill(0);
  // Σ R(k − R): units that are the same on all occasions fall out by themselves.
  let spread = 0;
  for (let i = 0; i < n; i++) {
    let rowTotal = 0;
    for (let j = 0; j < occasions; j++) {
      const outcome = outcomes[i * occasions + j]!;
      if (outcome !== 0 && outcome !== 1) throw new RangeError(`outcome ${String(outcome)}; expected 0 or 1`);
      rowTotal += outcome;
      columnTotals[j]! += outcome;
    }
    spread += rowTotal * (occasions - rowTotal);
  }
  const mean = columnTotals.reduce((sum, total) => sum + total, 0) / occasions;
  const between = columnTotals.reduce((sum, total) => sum + (total - mean) ** 2, 0);
  const statistic = (occasions * (occasions - 1) * between) / spread;
  return Object.freeze({
    method: 'Cochran Q test',
    n,
    occasions,
    ...chiSquareResult(statistic, spread > 0 ? occasions - 1 : 0),
  });
}
