import { normalUpperTail } from '../distributions.ts';
import { rankSumsByGroup } from './rank-sums-by-group.ts';
import type { RankedSample } from './rank-with-ties.ts';

export interface MannWhitneyResult {
  readonly method: 'Mann–Whitney rank-sum test, normal approximation with tie and continuity correction';
  /** Sizes of the first and the second group. */
  readonly first: number;
  readonly second: number;
  /** U of the first group: pairs in which its value is the greater, ties half. */
  readonly statistic: number | null;
  /** Two-sided. */
  readonly p: number | null;
  /** Effect size δ = 2U ÷ (mn) − 1, from −1 (first always less) to 1. */
  readonly cliffsDelta: number | null;
}

/**
 * Mann–Whitney (Wilcoxon rank-sum) test with Cliff's delta.
 *
 * Whether values of one group tend to be greater than those of another. U from the rank sum; p by the normal
 * approximation with z = (|U − mn/2| − ½) ÷ σ, σ² = mn/12·((N + 1) − Σ(t³−t)/(N(N−1))).
 *
 * Source: H. B. Mann, D. R. Whitney, Annals of Mathematical Statistics 18 (1947) 50-60; N. Cliff, Psychological Bulletin
 * 114 (1993) 494-509.
 *
 * @param sample the values of both groups together, ranked
 * @param inFirst for each value 1 if it belongs to the first group, else 0, in the same order
 * With an empty group statistic, p and delta are `null`; with all values equal p is `null` and delta 0.
 * @throws RangeError where `inFirst` has another value or another length
 *
 * @example
 * mannWhitneyTest(rankWithTies([1, 2, 3, 2, 5]), [1, 1, 0, 0, 0]); // { statistic: 0.5, p: 0.236, cliffsDelta: -0.833, … }
 */
export function mannWhitneyTest(sample: RankedSample, inFirst: ArrayLike<number>): MannWhitneyResult {
  const method = 'Mann–Whitney rank-sum test, normal approximation with tie and continuity correction';
  const { sizes, sums } = rankSumsByGroup(sample, inFirst, 2);
  const second = sizes[0]!;
  const first = sizes[1]!;
  if (first === 0 || second === 0) {
    return Object.freeze({ method, first, second, statistic: null, p: null, cliffsDelta: null });
  }
  const { n } = sample;
  const statistic = sums[1]! - (first * (first + 1)) / 2;
  const away = Math.abs(statistic - (first * second) / 2);
  const sigma = Math.sqrt(((first * second) / (n * (n - 1))) * sample.spread);
  return Object.freeze({
    method,
    first,
    second,
    statistic,
    p: sigma > 0 ? 2 * normalUpperTail(Math.max(away - 0.5, 0) / sigma) : null,
    cliffsDelta: (2 * statistic) / (first * second) - 1,
  });
}
