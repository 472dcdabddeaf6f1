import { normalUpperQuantile } from '../distributions.ts';
import { requireLevel } from '../require-number.ts';
import { wilsonInterval } from './wilson-interval.ts';

/** A standard error this small is what rounding leaves of 0. */
const ROUNDING = 1e-12;

/** Units that hit or miss, each in a cluster with others that tend to do the same. */
export interface ClusteredHits {
  readonly hits: readonly boolean[];
  /** What says which cluster each unit is in, in the same order. */
  readonly clusters: readonly (string | number)[];
}

export interface ClusteredProportion {
  readonly method: 'Wilson score interval; normal interval over clusters';
  readonly count: number;
  readonly of: number;
  readonly share: number | null;
  readonly low: number | null;
  readonly high: number | null;
  readonly clusterLow: number | null;
  readonly clusterHigh: number | null;
}

/** Σ over clusters of the squared sum of each unit's part. Quicker where the units of a cluster stand together, numbers rising. */
export function clusterSquares(parts: readonly number[], clusters: readonly (string | number)[]): number {
  if (rise(clusters)) return squaresOfRuns(parts, clusters);
  const sums = new Map<string | number, number>();
  parts.forEach((part, i) => sums.set(clusters[i]!, (sums.get(clusters[i]!) ?? 0) + part));
  return [...sums.values()].reduce((total, sum) => total + sum * sum, 0);
}

function rise(clusters: readonly (string | number)[]): clusters is readonly number[] {
  for (let i = 0; i < clusters.length; i += 1) {
    const cluster = clusters[i]!;
    if (typeof cluster !== 'number' || (i > 0 && cluster < (clusters[i - 1] as number))) return false;
  }
  return true;
}

function squaresOfRuns(parts: readonly number[], clusters: readonly number[]): number {
  let [total, sum] = [0, 0];
  for (let i = 0; i < parts.length; i += 1) {
    sum += parts[i]!;
    if (clusters[i + 1] === clusters[i]) continue;
    total += sum * sum;
    sum = 0;
  }
  return total;
}

export function requireClusters({ hits, clusters }: ClusteredHits): void {
  if (hits.length !== clusters.length) {
    throw new RangeError(`${String(hits.length)} units and ${String(clusters.length)} clusters; expected one each`);
  }
}

/**
 * A share of units that come in clusters, such as the two feet of one runner.
 *
 * `low`, `high`: Wilson, as if every unit stood alone. `clusterLow`, `clusterHigh`: p ± z·√(Σ(x_c − p·m_c)²)/Σm_c over
 * clusters c of m_c units with x_c hits, cut to [0, 1].
 *
 * Source: W. G. Cochran, Sampling Techniques, 3rd ed. (1977), section 3.12.
 *
 * @param level confidence level, above 0 and below 1; by default 0.95
 * Without units all but the counts is `null`; where no cluster departs from the share (a standard error below 1e-12) the
 * cluster interval is `null`: no variation seen is no certainty.
 * @throws RangeError where the lengths differ or the level is out of range
 *
 * @example
 * clusteredProportion({ hits: [true, true, false], clusters: ['a', 'a', 'b'] }); // { count: 2, of: 3, share: 0.667, … }
 */
export function clusteredProportion({ hits, clusters }: ClusteredHits, level = 0.95): ClusteredProportion {
  const method = 'Wilson score interval; normal interval over clusters';
  requireClusters({ hits, clusters });
  const z = normalUpperQuantile((1 - requireLevel(level)) / 2);
  const of = hits.length;
  const count = hits.reduce((sum, hit) => sum + (hit ? 1 : 0), 0);
  if (of === 0) {
    const none = { share: null, low: null, high: null, clusterLow: null, clusterHigh: null };
    return Object.freeze({ method, count, of, ...none });
  }
  const share = count / of;
  const parts = hits.map((hit) => (hit ? 1 : 0) - share);
  const se = Math.sqrt(clusterSquares(parts, clusters)) / of;
  const sure = se >= ROUNDING;
  return Object.freeze({
    ...{ method, count, of, share },
    ...wilsonInterval(count, of, level),
    clusterLow: sure ? Math.max(0, share - z * se) : null,
    clusterHigh: sure ? Math.min(1, share + z * se) : null,
  });
}
