import { type ChiSquareResult, chiSquareResult } from '../contingency/chi-square-result.ts';
import { type CountTable, requireSquareTable } from '../require-number.ts';

export interface BowkerResult extends ChiSquareResult {
  readonly method: 'Bowker test of symmetry';
  /** Number of pairs. */
  readonly n: number;
}

/**
 * Bowker test of symmetry in a square table of paired classes.
 *
 * Whether for every two classes as many changed one way as the other. Symmetry implies equal margins, not the other
 * way round: a significant result with equal margins is a round trip through the classes.
 *
 * Σ over i < j of (n_ij − n_ji)²/(n_ij + n_ji); df counts the pairs i < j with n_ij + n_ji > 0, not all k(k−1)/2.
 *
 * `statistic`, `df` and `p` are `null` where nobody changed class, and for an empty table.
 *
 * Source: A. H. Bowker, A test for symmetry in contingency tables, JASA 43 (1948) 572-574.
 *
 * @throws RangeError for a table that is not square or has an entry that is not a count
 *
 * @example
 * bowkerTest([[596, 18, 6, 5], [0, 2, 0, 0], [0, 0, 42, 0], [11, 0, 0, 0]]); // { statistic: 26.25, df: 3, … }
 */
export function bowkerTest(table: CountTable): BowkerResult {
  requireSquareTable(table);
  let statistic = 0;
  let df = 0;
  for (let i = 0; i < table.length; i++) {
    for (let j = i + 1; j < table.length; j++) {
      const moved = table[i]![j]! + table[j]![i]!;
      if (moved === 0) continue;
      statistic += (table[i]![j]! - table[j]![i]!) ** 2 / moved;
      df++;
    }
  }
  return Object.freeze({
    method: 'Bowker test of symmetry',
    n: table.flat().reduce((sum, count) => sum + count, 0),
    ...chiSquareResult(statistic, df),
  });
}
