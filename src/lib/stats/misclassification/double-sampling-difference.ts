import { differenceOfSharesInterval } from '../proportions/difference-of-shares-interval.ts';
import type { DoubleSamplingResult } from './double-sampling.ts';

/** A standard error below this is rounding. */
const ROUNDING = 1e-12;

/** Units that are alike on both occasions. */
export interface AlikeUnits {
  readonly count: number;
  /** Stratum and true class (`null`: not validated) on each occasion. */
  readonly first: { readonly stratum: number; readonly truth: number | null };
  readonly second: { readonly stratum: number; readonly truth: number | null };
}

export interface DoubleSamplingDifference {
  readonly method: 'Difference of two double-sampling shares in the same units';
  readonly n: number;
  readonly first: number;
  readonly second: number;
  /** second − first. */
  readonly difference: number;
  readonly se: number;
  /** Of the two estimates; 0 where one has no error. */
  readonly correlation: number;
  readonly low: number;
  readonly high: number;
}

/**
 * Change of a class's true share between two occasions, the same units having been read on both and a part of them
 * validated on each, not necessarily the same part.
 *
 * se² = Σ(ψ₂ − ψ₁)²/n² over the units, ψ the influence of a unit on each estimate; the correlation of the two estimates is
 * Σψ₁ψ₂/(n² se₁ se₂), and the interval is put together from theirs.
 *
 * Source: influence functions of the estimator in A. Tenenbein (1970); interval as in `differenceOfSharesInterval`.
 *
 * @param units every unit of both estimates, grouped by what they are alike in
 */
export function doubleSamplingDifference(
  first: DoubleSamplingResult,
  second: DoubleSamplingResult,
  units: readonly AlikeUnits[],
  kind: number,
): DoubleSamplingDifference {
  const n = units.reduce((sum, { count }) => sum + count, 0);
  if (n !== first.n || n !== second.n) {
    throw new RangeError(`${String(n)} units; the estimates rest on ${String(first.n)} and ${String(second.n)}`);
  }
  let [squares, products] = [0, 0];
  for (const unit of units) {
    const one = first.influence(unit.first.stratum, unit.first.truth, kind);
    const two = second.influence(unit.second.stratum, unit.second.truth, kind);
    squares += unit.count * (two - one) ** 2;
    products += unit.count * one * two;
  }
  const one = first.shares[kind]!;
  const two = second.shares[kind]!;
  const se = Math.sqrt(squares) / n;
  const correlation = one.se > 0 && two.se > 0 ? Math.max(-1, Math.min(1, products / (n * n) / (one.se * two.se))) : 0;
  return Object.freeze({
    method: 'Difference of two double-sampling shares in the same units',
    n,
    first: one.share,
    second: two.share,
    difference: two.share - one.share,
    se: se < ROUNDING ? 0 : se,
    correlation,
    ...differenceOfSharesInterval({ estimate: one.share, ...one }, { estimate: two.share, ...two }, correlation),
  });
}
