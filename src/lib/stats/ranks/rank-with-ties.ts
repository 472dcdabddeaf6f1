/** A sample with the rank of each value; what the rank tests share, so that it is sorted once. */
export interface RankedSample {
  readonly n: number;
  /** Rank of each value in the order given, 1 to n; tied values have the mean of their ranks. */
  readonly ranks: Float64Array;
  /** Number of distinct values. */
  readonly distinct: number;
  /** Σ (rank − (n + 1)/2)², which is (n³ − n − Σ(t³ − t)) ÷ 12 over tied groups of t: the correction for ties. */
  readonly spread: number;
}

/**
 * Ranks with ties.
 *
 * 1 for the least value; equal values share the mean of the ranks they would take. An empty sample has no ranks and
 * spread 0; with all values equal the spread is 0. n log n however many ties there are.
 *
 * Source: W. H. Kruskal, W. A. Wallis, Use of ranks in one-criterion variance analysis, JASA 47 (1952) 583-621.
 *
 * @throws RangeError for NaN among the values
 *
 * @example
 * rankWithTies([30, 10, 30, 20]).ranks; // [3.5, 1, 3.5, 2]
 */
export function rankWithTies(values: ArrayLike<number>): RankedSample {
  const sorted = sortedCopy(values);
  const n = sorted.length;
  const middle = (n + 1) / 2;
  // Distinct values in rising order, and the rank that each of them takes.
  const keys = new Float64Array(n);
  const rankOfKey = new Float64Array(n);
  let distinct = 0;
  let spread = 0;
  for (let start = 0; start < n;) {
    let end = start + 1;
    while (end < n && sorted[end] === sorted[start]) end++;
    const rank = (start + 1 + end) / 2;
    keys[distinct] = sorted[start]!;
    rankOfKey[distinct] = rank;
    distinct++;
    spread += (end - start) * (rank - middle) ** 2;
    start = end;
  }
  const ranks = new Float64Array(n);
  for (let i = 0; i < n; i++) ranks[i] = rankOfKey[indexOfKey(keys, distinct, values[i]!)]!;
  return Object.freeze({ n, ranks, distinct, spread });
}

/** The values in rising order as a typed array, which sorts by number without a comparison function. */
export function sortedCopy(values: ArrayLike<number>): Float64Array {
  const sorted = new Float64Array(values).sort();
  // NaN sorts last.
  if (Number.isNaN(sorted[sorted.length - 1])) throw new RangeError('a value is NaN; expected numbers only');
  return sorted;
}

function indexOfKey(keys: Float64Array, length: number, key: number): number {
  let low = 0;
  let high = length - 1;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (keys[middle]! < key) low = middle + 1;
    else high = middle;
  }
  return low;
}
