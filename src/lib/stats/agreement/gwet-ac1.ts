import {
  type AgreementCoefficient,
  type ClusteredUnits,
  coefficientFromInfluence,
  noCoefficient,
} from './agreement-coefficient.ts';
import { type CountTable, requireLevel, requireSquareTable } from '../require-number.ts';

/**
 * Gwet's AC1: agreement of two raters beyond chance, steady where one class is much more frequent than the others.
 *
 * AC1 = (p_a − p_e)/(1 − p_e), p_e = Σ π_k(1 − π_k) ÷ (q − 1), π_k the mean of the two raters' shares of class k, q the
 * number of classes of the table, occupied or not. Variance Σ p_kl(v_kl − v̄)² ÷ (n(1 − p_e)²),
 * v_kl = δ_kl − 2(1 − AC1)(1 − (π_k + π_l)/2) ÷ (q − 1): all units, no correction for a finite population.
 *
 * Source: K. L. Gwet, Computing inter-rater reliability and its variance in the presence of high agreement, British
 * Journal of Mathematical and Statistical Psychology 61 (2008) 29-48.
 *
 * @param table square with at least two classes, rows the first rater, columns the second
 * @param level confidence level of the intervals
 * @param units handed in, they give the cluster standard error; units of one cluster stand or fall together
 * All but `n` is `null` for an empty table. Chance agreement is at most 1/q, so nothing else is undefined.
 * @throws RangeError for a table that is not square or has one class, or units that are not those of the table
 *
 * @example
 * gwetAc1([[118, 5], [2, 0]]); // { n: 125, estimate: 0.941, … }
 */
export function gwetAc1(table: CountTable, level = 0.95, units: ClusteredUnits | null = null): AgreementCoefficient {
  requireSquareTable(table);
  requireLevel(level);
  const classes = table.length;
  if (classes < 2) throw new RangeError(`${String(classes)} classes; expected at least 2`);
  const method = 'Gwet AC1';
  const n = table.flat().reduce((sum, count) => sum + count, 0);
  if (n === 0) return noCoefficient(method, n);
  const shares = table.map((row, k) => row.reduce((sum, count, l) => sum + count + table[l]![k]!, 0) / (2 * n));
  const chance = shares.reduce((sum, share) => sum + share * (1 - share), 0) / (classes - 1);
  const agreement = table.reduce((sum, row, k) => sum + row[k]!, 0) / n;
  const rest = (1 - agreement) / (1 - chance);
  const influence = table.map((row, k) =>
    row.map((_, l) => (k === l ? 1 : 0) - (2 * rest * (1 - (shares[k]! + shares[l]!) / 2)) / (classes - 1)),
  );
  return coefficientFromInfluence(method, table, 1 - rest, influence, 1 - chance, level, units);
}
