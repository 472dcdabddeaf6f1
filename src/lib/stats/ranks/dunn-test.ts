import { normalUpperTail } from '../distributions.ts';
import { holmAdjustment } from './holm-adjustment.ts';
import { rankSumsByGroup } from './rank-sums-by-group.ts';
import type { RankedSample } from './rank-with-ties.ts';

export interface DunnComparison {
  /** The two groups, a before b. */
  readonly a: number;
  readonly b: number;
  /** Positive when a has the greater mean rank. */
  readonly z: number | null;
  /** Two-sided. */
  readonly p: number | null;
  /** Holm's adjustment over all comparisons of this call. */
  readonly adjustedP: number | null;
}

/**
 * Dunn's test: every two groups compared by their mean ranks, after Kruskal–Wallis.
 *
 * The ranks are those over all groups together, not of each two alone. With the correction for ties
 * z = (R̄_a − R̄_b) ÷ √((N(N+1)/12 − Σ(t³−t)/(12(N−1)))·(1/n_a + 1/n_b)); p-values adjusted by Holm.
 *
 * Source: O. J. Dunn, Multiple comparisons using rank sums, Technometrics 6 (1964) 241-252.
 *
 * @param sample the values of all groups together, ranked
 * @param groups group of each value, 0 to groupCount − 1, in the same order
 * @param groupCount number of groups; comparisons are made between the non-empty ones, in rising order
 * @returns no comparison with fewer than two non-empty groups; `z`, `p`, `adjustedP` are `null` with all values equal
 * @throws RangeError where a group is out of range or lengths differ
 *
 * @example
 * dunnTest(rankWithTies([1, 2, 3, 10, 11, 12]), [0, 0, 0, 1, 1, 1], 2); // [{ a: 0, b: 1, z: -1.964, p: 0.0495, … }]
 */
export function dunnTest(
  sample: RankedSample,
  groups: ArrayLike<number>,
  groupCount: number,
): readonly DunnComparison[] {
  const { sizes, sums } = rankSumsByGroup(sample, groups, groupCount);
  const held = [...sizes.keys()].filter((g) => sizes[g]! > 0);
  const variance = sample.spread / (sample.n - 1);
  const pairs = held.flatMap((a, i) => held.slice(i + 1).map((b) => ({ a, b })));
  if (sample.distinct < 2) {
    return Object.freeze(pairs.map((pair) => Object.freeze({ ...pair, z: null, p: null, adjustedP: null })));
  }
  const zs = pairs.map(
    ({ a, b }) => (sums[a]! / sizes[a]! - sums[b]! / sizes[b]!) / Math.sqrt(variance * (1 / sizes[a]! + 1 / sizes[b]!)),
  );
  const ps = zs.map((z) => 2 * normalUpperTail(Math.abs(z)));
  const adjusted = holmAdjustment(ps);
  return Object.freeze(
    pairs.map((pair, i) => Object.freeze({ ...pair, z: zs[i]!, p: ps[i]!, adjustedP: adjusted[i]! })),
  );
}
