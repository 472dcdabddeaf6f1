import { normalUpperQuantile } from '../distributions.ts';
import { requireCount, requireLevel, type CountTable } from '../require-number.ts';

/** Every unit that two raters classed, with the cluster it belongs to: what a cluster standard error needs. */
export interface ClusteredUnits {
  /** Class given by the first rater to each unit, 0 to classes − 1. */
  readonly first: ArrayLike<number>;
  /** Class given by the second rater. */
  readonly second: ArrayLike<number>;
  /** Cluster of each unit, 0 to clusterCount − 1. */
  readonly cluster: ArrayLike<number>;
  readonly clusterCount: number;
  /** How many clusters are like each one in every unit, itself included; by default 1. */
  readonly alike?: ArrayLike<number>;
}

/** A coefficient of agreement with its interval, and the interval that allows for clusters of units. */
export interface AgreementCoefficient {
  readonly method: string;
  /** Units classed by both raters. */
  readonly n: number;
  readonly estimate: number | null;
  readonly se: number | null;
  readonly low: number | null;
  readonly high: number | null;
  /** Standard error with the units of a cluster taken together; `null` when no units were handed in. */
  readonly clusterSe: number | null;
  readonly clusterLow: number | null;
  readonly clusterHigh: number | null;
}

/** A standard error this small is what rounding leaves of 0. */
const ROUNDING = 1e-12;

export function noCoefficient(method: string, n: number): AgreementCoefficient {
  const nothing = { estimate: null, se: null, low: null, high: null };
  return Object.freeze({ method, n, ...nothing, clusterSe: null, clusterLow: null, clusterHigh: null });
}

/**
 * Estimate, standard errors and intervals from the influence v of each cell of the table.
 *
 * Variance Σ p_ij(v_ij − v̄)² ÷ (n·scale²), v̄ = Σ p_ij·v_ij; with clusters Σ V_c² ÷ (n²·scale²), V_c the sum of v − v̄
 * over the units of cluster c. Intervals estimate ± z·se. Where a standard error is 0 its interval is `null`: no
 * variation seen is no certainty.
 *
 * @param influence v_ij, as large as the table
 * @param scale 1 − chance agreement, above 0
 * @throws RangeError where the units are not those of the table
 */
export function coefficientFromInfluence(
  method: string,
  table: CountTable,
  estimate: number,
  influence: readonly (readonly number[])[],
  scale: number,
  level: number,
  units: ClusteredUnits | null,
): AgreementCoefficient {
  const z = normalUpperQuantile((1 - requireLevel(level)) / 2);
  let n = 0;
  let total = 0;
  for (const [i, row] of table.entries()) {
    for (const [j, count] of row.entries()) {
      n += count;
      total += count * influence[i]![j]!;
    }
  }
  const mean = total / n;
  let squares = 0;
  for (const [i, row] of table.entries()) {
    for (const [j, count] of row.entries()) squares += count * (influence[i]![j]! - mean) ** 2;
  }
  const se = rounded(Math.sqrt(squares) / n / scale);
  const clusterSe = units === null ? null : rounded(Math.sqrt(clusterSquares(units, influence, mean, n)) / n / scale);
  const half = se > 0 ? z * se : null;
  const clusterHalf = clusterSe !== null && clusterSe > 0 ? z * clusterSe : null;
  return Object.freeze({
    method,
    n,
    estimate,
    se,
    low: half === null ? null : estimate - half,
    high: half === null ? null : estimate + half,
    clusterSe,
    clusterLow: clusterHalf === null ? null : estimate - clusterHalf,
    clusterHigh: clusterHalf === null ? null : estimate + clusterHalf,
  });
}

function rounded(se: number): number {
  return se < ROUNDING ? 0 : se;
}

function clusterSquares(
  { first, second, cluster, clusterCount, alike }: ClusteredUnits,
  influence: readonly (readonly number[])[],
  mean: number,
  n: number,
): number {
  const sums = new Float64Array(requireCount(clusterCount, 'clusterCount'));
  if (
    second.length !== first.length ||
    cluster.length !== first.length ||
    (alike?.length ?? clusterCount) !== clusterCount
  ) {
    throw new RangeError('units, clusters and their counts differ in length');
  }
  let units = 0;
  for (let i = 0; i < first.length; i++) {
    const value = influence[first[i]!]?.[second[i]!];
    const at = cluster[i]!;
    if (value === undefined || !(at >= 0 && at < clusterCount)) {
      throw new RangeError(`unit ${String(i)} has a class or a cluster that is out of range`);
    }
    units += alike?.[at] ?? 1;
    sums[at]! += value - mean;
  }
  if (units !== n) throw new RangeError(`${String(units)} units handed in for a table of ${String(n)}`);
  return sums.reduce((total, sum, c) => total + (alike?.[c] ?? 1) * sum * sum, 0);
}
