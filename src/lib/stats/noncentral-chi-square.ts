import { chiSquareUpperTail, logPoissonDensity } from './distributions.ts';
import { requireNumber } from './require-number.ts';
import { deviance, LOG_SQRT_TWO_PI, stirlingRemainder } from './special/saddle-point.ts';

/** Poisson weights this many standard deviations from their mean are left out: below 1e-30. */
const DEVIATIONS = 12;

/**
 * Pr(X > x) of the non-central chi-square distribution: the power of a chi-square test.
 *
 * A Poisson mixture, Σ_i Pr(Poisson(λ/2) = i)·Pr(χ²_{df+2i} > x). The central tails follow from each other by
 * Q(a + 1, y) = Q(a, y) + y^a·e^−y/Γ(a + 1), y = x/2, in which nothing cancels.
 *
 * Source: N. L. Johnson, S. Kotz, Continuous Univariate Distributions 2 (1970), chapter 28.
 *
 * @param x at least 0
 * @param df degrees of freedom, above 0
 * @param noncentrality λ, at least 0
 * @throws RangeError for a number out of range
 *
 * @example
 * noncentralChiSquareUpperTail(7.814727903251179, 3, 100 * 0.289 ** 2); // 0.6751
 */
export function noncentralChiSquareUpperTail(x: number, df: number, noncentrality: number): number {
  requireNumber(x, 'x', 0, Number.MAX_VALUE);
  requireNumber(df, 'df', Number.MIN_VALUE, Number.MAX_VALUE);
  const mean = requireNumber(noncentrality, 'noncentrality', 0, Number.MAX_VALUE) / 2;
  if (x === 0) return 1;
  const reach = DEVIATIONS * Math.sqrt(mean + 1) + 40;
  const from = Math.max(0, Math.floor(mean - reach));
  const y = x / 2;
  let weight = Math.exp(logPoissonDensity(from, mean));
  let tail = chiSquareUpperTail(x, df + 2 * from);
  let step = gammaDensity(df / 2 + from, y);
  let sum = 0;
  for (let i = from; i <= mean + reach; i += 1) {
    sum += weight * tail;
    weight *= mean / (i + 1);
    tail = Math.min(1, tail + step);
    step *= y / (df / 2 + i + 1);
  }
  return Math.min(1, sum);
}

/** y^a·e^−y/Γ(a + 1), by saddle point so that neither factor overflows. */
function gammaDensity(a: number, y: number): number {
  return Math.exp(-stirlingRemainder(a) - deviance(a, y) - LOG_SQRT_TWO_PI - 0.5 * Math.log(a));
}
