import { clusterSquares, requireClusters, type ClusteredHits } from './clustered-proportion.ts';
import { normalUpperQuantile } from '../distributions.ts';
import { requireLevel } from '../require-number.ts';

/** A standard error this small is what rounding leaves of 0. */
const ROUNDING = 1e-12;

export interface ClusteredDifference {
  readonly method: 'Difference of two shares over common clusters';
  readonly first: number | null;
  readonly second: number | null;
  /** first − second, with its interval. */
  readonly difference: number | null;
  readonly low: number | null;
  readonly high: number | null;
}

const shareOf = ({ hits }: ClusteredHits) => (hits.length === 0 ? null : hits.filter(Boolean).length / hits.length);

/**
 * Difference of two shares whose units may be in the same clusters, such as the near and the far foot of one runner.
 *
 * Each unit's part is (hit − p₁)/n₁ in the first share and −(hit − p₂)/n₂ in the second; parts are added within clusters,
 * squared and added: se². Interval difference ± z·se, cut to [−1, 1].
 *
 * Source: linearisation as in W. G. Cochran, Sampling Techniques, 3rd ed. (1977), sections 3.12 and 6.
 *
 * @param level confidence level, above 0 and below 1; by default 0.95
 * A share without units is `null`, and so is all that needs it; the interval also where the standard error is below 1e-12.
 * @throws RangeError where lengths differ or the level is out of range
 *
 * @example
 * clusteredDifference({ hits: [true, false], clusters: [1, 2] }, { hits: [false, false], clusters: [1, 2] });
 * // { first: 0.5, second: 0, difference: 0.5, low: -0.193, high: 1 }
 */
export function clusteredDifference(first: ClusteredHits, second: ClusteredHits, level = 0.95): ClusteredDifference {
  const method = 'Difference of two shares over common clusters';
  requireClusters(first);
  requireClusters(second);
  const z = normalUpperQuantile((1 - requireLevel(level)) / 2);
  const [p1, p2] = [shareOf(first), shareOf(second)];
  if (p1 === null || p2 === null) {
    return Object.freeze({ method, first: p1, second: p2, difference: null, low: null, high: null });
  }
  const part = (hits: readonly boolean[], share: number, sign: 1 | -1) =>
    hits.map((hit) => (sign * ((hit ? 1 : 0) - share)) / hits.length);
  const parts = [...part(first.hits, p1, 1), ...part(second.hits, p2, -1)];
  const se = Math.sqrt(clusterSquares(parts, [...first.clusters, ...second.clusters]));
  const difference = p1 - p2;
  const sure = se >= ROUNDING;
  return Object.freeze({
    ...{ method, first: p1, second: p2, difference },
    low: sure ? Math.max(-1, difference - z * se) : null,
    high: sure ? Math.min(1, difference + z * se) : null,
  });
}
