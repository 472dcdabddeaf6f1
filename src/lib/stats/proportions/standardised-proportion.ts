import { normalUpperQuantile } from '../distributions.ts';
import type { Interval } from '../interval.ts';
import { requireCount, requireLevel } from '../require-number.ts';
import { wilsonInterval } from './wilson-interval.ts';

/** One stratum of a population, and the sample drawn from it. */
export interface Stratum {
  /** N_h: units of the population in this stratum. */
  readonly population: number;
  /** n_h: of these, units in the sample. */
  readonly sampled: number;
  /** x_h: of the sampled ones, those with the property. */
  readonly successes: number;
}

export interface StandardisedProportion extends Interval {
  readonly method: 'Directly standardised proportion with normal interval';
  /** Units sampled in all strata that count. */
  readonly n: number;
  readonly share: number | null;
  /** Limits from the Wilson limits of each stratum: they have a width also where a stratum has all or none. */
  readonly scoreLow: number | null;
  readonly scoreHigh: number | null;
}

/**
 * Directly standardised proportion: the share in a population whose strata were sampled unevenly.
 *
 * Each stratum's share counts as much as the stratum does in the population: Σ (N_h/N)·p_h with variance
 * Σ (N_h/N)²·p_h(1 − p_h)/n_h, normal interval cut to [0, 1].
 *
 * A stratum with no population has weight 0. Where a stratum that has some was not sampled at all, and without any
 * population, everything but `n` is `null`: nothing is known of it. Where the variance is 0 (all shares 0 or 1) `low`
 * and `high` are `null`: no variation seen is no certainty.
 *
 * The normal interval is too narrow where a stratum has none or all: that one then adds no variance. `scoreLow` and
 * `scoreHigh` take each stratum's Wilson limits l_h, u_h: share ∓ √(Σ (N_h/N)²·(p_h − l_h)²), and with u_h upwards.
 * @throws RangeError for counts that are not whole or successes > sampled > population
 *
 * Sources: W. G. Cochran, Sampling Techniques (1977), section 5.3, without the finite population correction; limits of a
 * weighted sum from the limits of its parts: G. Y. Zou, W. Huang, X. Zhang, Computational Statistics & Data Analysis 53
 * (2009) 1080-1085.
 *
 * @example
 * standardisedProportion([
 *   { population: 60, sampled: 30, successes: 27 },
 *   { population: 40, sampled: 10, successes: 5 },
 * ]); // { share: 0.74, low: 0.600, high: 0.880, scoreLow: 0.599, … }
 */
export function standardisedProportion(strata: readonly Stratum[], level = 0.95): StandardisedProportion {
  requireLevel(level);
  const method = 'Directly standardised proportion with normal interval';
  for (const { population, sampled, successes } of strata) {
    requireCount(population, 'population');
    requireCount(sampled, 'sampled');
    requireCount(successes, 'successes');
    if (successes > sampled || sampled > population) {
      throw new RangeError(
        `${String(successes)} of ${String(sampled)} of ${String(population)}: a part exceeds its whole`,
      );
    }
  }
  const total = strata.reduce((sum, stratum) => sum + stratum.population, 0);
  const held = strata.filter((stratum) => stratum.population > 0);
  const n = held.reduce((sum, stratum) => sum + stratum.sampled, 0);
  if (held.length === 0 || held.some((stratum) => stratum.sampled === 0)) {
    return Object.freeze({ method, n, share: null, low: null, high: null, scoreLow: null, scoreHigh: null });
  }
  let share = 0;
  let variance = 0;
  let below = 0;
  let above = 0;
  for (const { population, sampled, successes } of held) {
    const weight = population / total;
    const p = successes / sampled;
    share += weight * p;
    variance += (weight * weight * p * (1 - p)) / sampled;
    const limits = wilsonInterval(successes, sampled, level);
    below += (weight * (p - limits.low!)) ** 2;
    above += (weight * (limits.high! - p)) ** 2;
  }
  const half = normalUpperQuantile((1 - level) / 2) * Math.sqrt(variance);
  return Object.freeze({
    method,
    n,
    share,
    low: half > 0 ? Math.max(0, share - half) : null,
    high: half > 0 ? Math.min(1, share + half) : null,
    scoreLow: share - Math.sqrt(below),
    scoreHigh: share + Math.sqrt(above),
  });
}
