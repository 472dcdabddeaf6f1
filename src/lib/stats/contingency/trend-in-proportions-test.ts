import { type ChiSquareResult, NO_CHI_SQUARE, chiSquareResult } from './chi-square-result.ts';
import { requireCount, requireNumber } from '../require-number.ts';

export interface TrendResult extends ChiSquareResult {
  readonly method: 'Chi-square test for trend in proportions';
  /** Number of trials in all groups. */
  readonly n: number;
}

/**
 * Chi-square test for trend in proportions (Cochran–Armitage).
 *
 * Whether a share rises or falls from group to group when the groups have an order. The scores say how far apart the
 * groups stand; by default 1, 2, 3, …
 * χ² = (Σ (x_i − n_i·p)·s_i)² ÷ (p(1 − p)·Σ n_i(s_i − s̄)²), p the overall share, s̄ the mean score weighted by n_i; df = 1.
 *
 * Source: P. Armitage, Tests for linear trends in proportions and frequencies, Biometrics 11 (1955) 375-386.
 *
 * @param successes x_i of each group, 0 ≤ x_i ≤ n_i
 * @param trials n_i; an empty group is left out and the others keep their scores
 * @param scores one for each group
 * `null` with fewer than two groups that have trials, with scores that are all equal, and where all or none succeed.
 * @throws RangeError for lengths that differ, counts that are not whole, or x_i > n_i
 *
 * @example
 * trendInProportionsTest([83, 90, 129, 70], [86, 93, 136, 82]); // { statistic: 8.2249, df: 1, p: 0.004132, … }
 */
export function trendInProportionsTest(
  successes: readonly number[],
  trials: readonly number[],
  scores: readonly number[] = trials.map((_, i) => i + 1),
): TrendResult {
  if (successes.length !== trials.length || scores.length !== trials.length) {
    throw new RangeError('successes, trials and scores differ in length');
  }
  let n = 0;
  let x = 0;
  let weighted = 0;
  for (const [i, trial] of trials.entries()) {
    requireNumber(requireCount(successes[i]!, 'successes'), 'successes', 0, requireCount(trial, 'trials'));
    n += trial;
    x += successes[i]!;
    weighted += trial * requireNumber(scores[i]!, 'scores');
  }
  const method = 'Chi-square test for trend in proportions';
  const share = x / n;
  const meanScore = weighted / n;
  let slope = 0;
  let spread = 0;
  for (const [i, trial] of trials.entries()) {
    const centred = scores[i]! - meanScore;
    slope += (successes[i]! - trial * share) * centred;
    spread += trial * centred * centred;
  }
  const scoresVary = new Set(scores.filter((_, i) => trials[i]! > 0)).size > 1;
  if (!scoresVary || x === 0 || x === n) return Object.freeze({ method, n, ...NO_CHI_SQUARE });
  return Object.freeze({ method, n, ...chiSquareResult((slope * slope) / (share * (1 - share) * spread), 1) });
}
