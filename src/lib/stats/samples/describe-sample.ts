import jStat from 'jstat';
import { quantileType7 } from './quantile-type7.ts';
import { sortedCopy } from '../ranks/rank-with-ties.ts';

export interface SampleDescription {
  readonly n: number;
  readonly mean: number | null;
  /** Quartiles by linear interpolation, definition 7. */
  readonly q1: number | null;
  readonly median: number | null;
  readonly q3: number | null;
}

/**
 * Size, mean and quartiles of a sample, all in the unit of its values.
 *
 * The mean is jstat's. Its quantiles are not used: `jStat.percentile` forgets to interpolate in the last interval (the
 * upper quartile of 1, 2, 3 comes out as 2 and not 2.5).
 *
 * Any order, not changed; all but `n` are `null` for an empty sample. n log n.
 * @throws RangeError for NaN among the values
 *
 * @example
 * describeSample([1, 2, 3, 4, 5, 6, 7, 8, 9, 10]); // { n: 10, mean: 5.5, q1: 3.25, median: 5.5, q3: 7.75 }
 */
export function describeSample(values: ArrayLike<number>): SampleDescription {
  const sorted = sortedCopy(values);
  return Object.freeze({
    n: sorted.length,
    mean: sorted.length === 0 ? null : jStat.mean(sorted),
    q1: quantileType7(sorted, 0.25),
    median: quantileType7(sorted, 0.5),
    q3: quantileType7(sorted, 0.75),
  });
}
