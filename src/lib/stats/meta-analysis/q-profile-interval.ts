import { chiSquareQuantile, chiSquareUpperQuantile } from '../distributions.ts';
import { fallingRoot } from '../falling-root.ts';
import { requireStudies, weightedFit, weightedSquares, type Studies } from './random-effects-fit.ts';
import { requireLevel } from '../require-number.ts';

/**
 * Interval of the variance between studies, τ², by the Q-profile method.
 *
 * Q(τ²) = Σ w(y − μ)² with w = 1/(v + τ²) falls with τ² and has a chi-square distribution on k − 1 at the true one: the
 * ends are where it is that distribution's upper and lower quantile, 0 where it is below that at 0 already.
 *
 * Source: W. Viechtbauer, Stat. Med. 26 (2007) 37-52.
 *
 * @param studies at least two; else a RangeError
 */
export function qProfileInterval(
  studies: Pick<Studies, 'estimate' | 'variance'>,
  level = 0.95,
): { low: number; high: number } {
  requireLevel(level);
  requireStudies(studies, 2);
  const df = studies.estimate.length - 1;
  const start = studies.variance.reduce((most, v) => Math.max(most, v), 0);
  const where = (wanted: number): number =>
    fallingRoot((tau2) => weightedSquares(weightedFit(studies, tau2)) - wanted, start);
  const tail = (1 - level) / 2;
  return { low: where(chiSquareUpperQuantile(tail, df)), high: where(chiSquareQuantile(tail, df)) };
}
