import { type ChiSquareResult, NO_CHI_SQUARE, chiSquareResult } from './chi-square-result.ts';
import { type CountTable, requireTable } from '../require-number.ts';
import { withoutEmptyLines } from './without-empty-lines.ts';

export interface PearsonResult extends ChiSquareResult {
  readonly method: 'Pearson chi-square test without continuity correction';
  /** Sum of the table. */
  readonly n: number;
  /** Least expected count; below 5 the chi-square approximation is doubtful (common practice, no source). */
  readonly minExpected: number | null;
  /** Effect size from 0 (none) to 1: √(χ² ÷ (n·(min(rows, columns) − 1))). */
  readonly cramersV: number | null;
}

/**
 * Pearson chi-square test of independence in a two-way table, without continuity correction.
 *
 * Whether separate groups (rows) are divided among classes (columns) alike. Rows and columns that are all zero are
 * dropped first. χ² = Σ (observed − expected)²/expected, df = (rows − 1)(columns − 1).
 *
 * With fewer than two rows or columns left everything but `n` is `null`.
 *
 * Source: K. Pearson, Philosophical Magazine 50 (1900) 157-175; V: H. Cramér, Mathematical Methods of Statistics (1946).
 *
 * @throws RangeError for rows of unequal length or an entry that is not a count
 *
 * @example
 * pearsonChiSquareTest([[762, 327, 468], [484, 239, 477]]); // { statistic: 30.07, df: 2, p: 2.954e-7, … }
 */
export function pearsonChiSquareTest(table: CountTable): PearsonResult {
  const kept = withoutEmptyLines(requireTable(table));
  const method = 'Pearson chi-square test without continuity correction';
  const rowTotals = kept.map((row) => row.reduce((sum, count) => sum + count, 0));
  const n = rowTotals.reduce((sum, total) => sum + total, 0);
  const columnTotals = (kept[0] ?? []).map((_, j) => kept.reduce((sum, row) => sum + row[j]!, 0));
  if (rowTotals.length < 2 || columnTotals.length < 2) {
    return Object.freeze({ method, n, ...NO_CHI_SQUARE, minExpected: null, cramersV: null });
  }
  let statistic = 0;
  let minExpected = Infinity;
  for (const [i, row] of kept.entries()) {
    for (const [j, count] of row.entries()) {
      const expected = (rowTotals[i]! * columnTotals[j]!) / n;
      statistic += (count - expected) ** 2 / expected;
      minExpected = Math.min(minExpected, expected);
    }
  }
  const df = (rowTotals.length - 1) * (columnTotals.length - 1);
  const cramersV = Math.sqrt(statistic / (n * (Math.min(rowTotals.length, columnTotals.length) - 1)));
  return Object.freeze({ method, n, ...chiSquareResult(statistic, df), minExpected, cramersV });
}
