import {
  type AgreementCoefficient,
  type ClusteredUnits,
  coefficientFromInfluence,
  noCoefficient,
} from './agreement-coefficient.ts';
import { type CountTable, requireLevel, requireSquareTable } from '../require-number.ts';

/** Agreement weights of plain kappa: only the same class agrees. */
export function identityWeights(classes: number): number[][] {
  return square(classes, (i, j) => (i === j ? 1 : 0));
}

/** Linear agreement weights 1 − |i − j|/(classes − 1), for classes that have an order. */
export function linearWeights(classes: number): number[][] {
  return square(classes, (i, j) => (i === j ? 1 : 1 - Math.abs(i - j) / (classes - 1)));
}

function square(size: number, entry: (i: number, j: number) => number): number[][] {
  return Array.from({ length: size }, (_, i) => Array.from({ length: size }, (_, j) => entry(i, j)));
}

/**
 * Cohen's kappa, plain or weighted: agreement of two raters beyond chance.
 *
 * 1 is full agreement, 0 what raters would reach who class blindly with the same shares, below 0 less than that. Where
 * nearly all units fall into one class kappa is low even at high agreement; read it beside the agreement itself.
 *
 * κ = (p_o − p_e)/(1 − p_e), p_o = Σ w_ij·p_ij, p_e = Σ w_ij·p_i.·p_.j. Standard error for large samples and κ ≠ 0:
 * variance Σ p_ij(v_ij − v̄)² ÷ (n(1 − p_e)²), v_ij = w_ij − (w̄_i. + w̄_.j)(1 − κ), w̄_i. = Σ_j w_ij·p_.j and
 * w̄_.j = Σ_i w_ij·p_i. . This is the bracket of the paper written as a variance: as printed, a difference of squares, it
 * loses its digits near full agreement.
 *
 * Source: J. L. Fleiss, J. Cohen, B. S. Everitt, Psychological Bulletin 72 (1969) 323-327; clusters: the same linear
 * form summed within each, as W. G. Cochran, Sampling Techniques (1977), chapter 9.
 *
 * @param table square, rows the first rater, columns the second
 * @param weights agreement weights, 1 on the diagonal; `identityWeights` (default) or `linearWeights`
 * @param level confidence level of the intervals
 * @param units handed in, they give the cluster standard error; units of one cluster stand or fall together
 * All but `n` is `null` where chance agreement is 1 (one class only), and for an empty table.
 * @throws RangeError for a table that is not square, weights of another size, or units that are not those of the table
 *
 * @example
 * cohenKappa([[88, 14, 18], [10, 40, 10], [2, 6, 12]]); // { n: 200, estimate: 0.492, … }
 */
export function cohenKappa(
  table: CountTable,
  weights: readonly (readonly number[])[] = identityWeights(table.length),
  level = 0.95,
  units: ClusteredUnits | null = null,
): AgreementCoefficient {
  requireSquareTable(table);
  requireLevel(level);
  if (weights.length !== table.length || weights.some((row) => row.length !== table.length)) {
    throw new RangeError(`weights are not ${String(table.length)} × ${String(table.length)}`);
  }
  const method = 'Cohen kappa, large-sample standard error';
  const rowTotals = table.map((row) => row.reduce((sum, count) => sum + count, 0));
  const columnTotals = table.map((_, j) => table.reduce((sum, row) => sum + row[j]!, 0));
  const n = rowTotals.reduce((sum, total) => sum + total, 0);
  let observed = 0;
  let chance = 0;
  for (const [i, row] of table.entries()) {
    for (const [j, count] of row.entries()) {
      observed += weights[i]![j]! * count;
      chance += weights[i]![j]! * rowTotals[i]! * columnTotals[j]!;
    }
  }
  if (chance === n * n) return noCoefficient(method, n);
  const estimate = (n * observed - chance) / (n * n - chance);
  const rest = (n * (n - observed)) / (n * n - chance);
  const byRow = weights.map((row) => row.reduce((sum, w, j) => sum + w * columnTotals[j]!, 0) / n);
  const byColumn = weights.map((_, j) => weights.reduce((sum, row, i) => sum + row[j]! * rowTotals[i]!, 0) / n);
  const influence = weights.map((row, i) => row.map((w, j) => w - (byRow[i]! + byColumn[j]!) * rest));
  return coefficientFromInfluence(method, table, estimate, influence, 1 - chance / (n * n), level, units);
}
