import { quantileType7 } from '../../../stats/samples/quantile-type7.ts';

/** The three quartiles of finish times in seconds (any order, not changed), or `null` without any. */
export function quartersOf(seconds: Float64Array): number[] | null {
  if (seconds.length === 0) return null;
  const sorted = seconds.slice().sort();
  return [0.25, 0.5, 0.75].map((share) => quantileType7(sorted, share)!);
}

/** Which quarter a time falls into, 0 (fastest) to 3; a time equal to a cut falls into the faster one. */
export function quarterOf(seconds: number, cuts: readonly number[]): number {
  let quarter = 0;
  for (let i = 0; i < cuts.length; i += 1) if (seconds > cuts[i]!) quarter += 1;
  return quarter;
}
