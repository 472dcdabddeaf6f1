import { type ChiSquareResult, NO_CHI_SQUARE, chiSquareResult } from '../contingency/chi-square-result.ts';
import { rankSumsByGroup } from './rank-sums-by-group.ts';
import type { RankedSample } from './rank-with-ties.ts';

export interface KruskalWallisResult extends ChiSquareResult {
  readonly method: 'Kruskal–Wallis rank test, corrected for ties';
  readonly n: number;
  /** Effect size ε² = H ÷ (n − 1), from 0 (none) to 1. */
  readonly epsilonSquared: number | null;
}

/**
 * Kruskal–Wallis rank test, corrected for ties.
 *
 * Whether values tend to be greater in some groups than in others, without assuming a distribution; a significant
 * result says "somewhere", which groups Dunn's test says. H = (n − 1)·Σ n_g(R̄_g − R̄)² ÷ Σ(R − R̄)², the tie-corrected
 * statistic; df = non-empty groups − 1.
 *
 * Source: W. H. Kruskal, W. A. Wallis, Use of ranks in one-criterion variance analysis, JASA 47 (1952) 583-621.
 *
 * @param sample the values of all groups together, ranked
 * @param groups group of each value, 0 to groupCount − 1, in the same order
 * @param groupCount number of groups; empty ones count for nothing
 * All but `n` is `null` with fewer than two non-empty groups or with all values equal.
 * @throws RangeError where a group is out of range or lengths differ
 *
 * @example
 * kruskalWallisTest(rankWithTies([1, 2, 3, 10, 11, 12]), [0, 0, 0, 1, 1, 1], 2); // { statistic: 3.857, df: 1, … }
 */
export function kruskalWallisTest(
  sample: RankedSample,
  groups: ArrayLike<number>,
  groupCount: number,
): KruskalWallisResult {
  const method = 'Kruskal–Wallis rank test, corrected for ties';
  const { sizes, sums } = rankSumsByGroup(sample, groups, groupCount);
  const { n, spread } = sample;
  const held = [...sizes.keys()].filter((g) => sizes[g]! > 0);
  if (held.length < 2 || sample.distinct < 2) {
    return Object.freeze({ method, n, ...NO_CHI_SQUARE, epsilonSquared: null });
  }
  const between = held.reduce((sum, g) => sum + sizes[g]! * (sums[g]! / sizes[g]! - (n + 1) / 2) ** 2, 0);
  const epsilonSquared = between / spread;
  return Object.freeze({ method, n, ...chiSquareResult((n - 1) * epsilonSquared, held.length - 1), epsilonSquared });
}
