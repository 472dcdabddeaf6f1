import { type ChiSquareResult, chiSquareResult } from '../contingency/chi-square-result.ts';
import { type CountTable, requireSquareTable } from '../require-number.ts';
import { solvePositiveDefinite } from '../regression/solve-positive-definite.ts';

export interface StuartMaxwellResult extends ChiSquareResult {
  readonly method: 'Stuart–Maxwell test of marginal homogeneity';
  /** Number of pairs. */
  readonly n: number;
}

/**
 * Stuart–Maxwell test of marginal homogeneity in a square table of paired classes.
 *
 * Whether the classes are as frequent the second time as the first, all classes at once: McNemar's question for more
 * than two classes. Rows are the first look, columns the second.
 *
 * d_i = row total − column total; V_ii = row + column − 2·n_ii, V_ij = −(n_ij + n_ji). Two classes are linked when
 * n_ij + n_ji > 0. Within each group of classes linked directly or through others V has one rank less than classes, so
 * one of them is left out (any: the result is the same); the statistic is Σ d'V⁻¹d over the groups and df the number
 * of linked classes less the number of groups. That is what a generalised inverse gives. Classes linked to no other
 * add nothing, so an empty class does no harm.
 *
 * `statistic`, `df` and `p` are `null` where nobody changed class, and for an empty table.
 *
 * Source: A. Stuart, Biometrika 42 (1955) 412-416; A. E. Maxwell, British Journal of Psychiatry 116 (1970) 651-655.
 *
 * @throws RangeError for a table that is not square or has an entry that is not a count
 *
 * @example
 * stuartMaxwellTest([[35, 5, 0], [15, 20, 5], [10, 5, 5]]); // { statistic: 14, df: 2, p: 0.000912, … }
 */
export function stuartMaxwellTest(table: CountTable): StuartMaxwellResult {
  requireSquareTable(table);
  const moved = (i: number, j: number): number => table[i]![j]! + table[j]![i]!;
  const excess = table.map((row, i) => row.reduce((sum, count, j) => sum + count - table[j]![i]!, 0));
  let statistic = 0;
  let df = 0;
  for (const group of linkedGroups(table.length, moved)) {
    const kept = group.slice(1);
    const covariance = kept.map((i) =>
      kept.map((j) => (i === j ? group.reduce((sum, k) => sum + (k === i ? 0 : moved(i, k)), 0) : -moved(i, j))),
    );
    const d = kept.map((i) => excess[i]!);
    const solved = solvePositiveDefinite(covariance, d);
    statistic += solved === null ? NaN : d.reduce((sum, value, i) => sum + value * solved[i]!, 0);
    df += kept.length;
  }
  return Object.freeze({
    method: 'Stuart–Maxwell test of marginal homogeneity',
    n: table.flat().reduce((sum, count) => sum + count, 0),
    ...chiSquareResult(statistic, df),
  });
}

/** Groups of two or more classes connected by pairs that changed between them. */
function linkedGroups(classes: number, moved: (i: number, j: number) => number): number[][] {
  const seen = new Set<number>();
  const groups: number[][] = [];
  for (let start = 0; start < classes; start++) {
    if (seen.has(start)) continue;
    seen.add(start);
    const group = [start];
    for (const i of group) {
      for (let j = 0; j < classes; j++) {
        if (seen.has(j) || moved(i, j) === 0) continue;
        seen.add(j);
        group.push(j);
      }
    }
    if (group.length > 1) groups.push(group);
  }
  return groups;
}
