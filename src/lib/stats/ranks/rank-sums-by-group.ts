import { requireCount } from '../require-number.ts';
import type { RankedSample } from './rank-with-ties.ts';

/** Number of values and sum of ranks in each group. */
export function rankSumsByGroup(
  sample: RankedSample,
  groups: ArrayLike<number>,
  groupCount: number,
): { sizes: Float64Array; sums: Float64Array } {
  requireCount(groupCount, 'groupCount');
  if (groups.length !== sample.n) {
    throw new RangeError(`${String(groups.length)} groups for ${String(sample.n)} values`);
  }
  const sizes = new Float64Array(groupCount);
  const sums = new Float64Array(groupCount);
  for (let i = 0; i < sample.n; i++) {
    const group = groups[i]!;
    if (!(group >= 0 && group < groupCount)) throw new RangeError(`group ${String(group)} is out of range`);
    sizes[group]!++;
    sums[group]! += sample.ranks[i]!;
  }
  return { sizes, sums };
}
