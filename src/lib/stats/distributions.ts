import erfc from '@stdlib/math-base-special-erfc';
import gammaln from '@stdlib/math-base-special-gammaln';
import { requireCount, requireNumber } from './require-number.ts';
import { betaTail } from './special/incomplete-beta.ts';
import { gammaTail } from './special/incomplete-gamma.ts';
import { positiveQuantile } from './special/positive-quantile.ts';
import { deviance, LOG_SQRT_TWO_PI, logBinomialTerm, stirlingRemainder } from './special/saddle-point.ts';

/**
 * The probability distributions behind every test and interval: normal, chi-square, Student's t, F, beta, binomial.
 *
 * Two functions for each: `…LowerTail` is Pr(X ≤ x), `…UpperTail` is Pr(X > x) (binomial: Pr(X ≥ k)). They are separate
 * because 1 − lower has no digits left once the upper tail is below 1e-16; here both keep at least 9 digits down to
 * 1e-300. `…Quantile(p)` is the x with lower tail p, `…UpperQuantile(q)` the x with upper tail q, each the root of the
 * smaller tail, to 12 digits.
 *
 * Ranges: x may be infinite; outside a distribution's support the tails are 0 and 1. Degrees of freedom and shapes are
 * positive and need not be whole. NaN or a parameter out of range throws a RangeError. A tail below the least double
 * is 0.
 *
 * The special functions are those of @stdlib where they were measured to be right against R (see
 * tests/reference/distributions.R): erfc everywhere, the incomplete beta down to 1e-200, the incomplete gamma for
 * shapes below 50. Beyond that they lose all digits (chi-square with 5,000 degrees of freedom near its mean is off by
 * 10 %), and the continued fractions in `special/` take over.
 *
 * @example
 * normalUpperTail(1.959963984540054); // 0.025
 * chiSquareUpperTail(3.841458820694124, 1); // 0.05
 * tQuantile(0.975, 10); // 2.228138851986
 */

// --- normal ----------------------------------------------------------------------------------------------------------

/** Pr(Z ≤ z) of the standard normal distribution. */
export function normalLowerTail(z: number): number {
  return normalUpperTail(-z);
}

/** Pr(Z > z) of the standard normal distribution. */
export function normalUpperTail(z: number): number {
  return 0.5 * erfc(requireNumber(z, 'z') / Math.SQRT2);
}

/** The z with Pr(Z ≤ z) = p; −∞ and ∞ at 0 and 1. */
export function normalQuantile(p: number): number {
  requireNumber(p, 'p', 0, 1);
  return p <= 0.5 ? negated(normalUpperQuantile(p)) : normalUpperQuantile(1 - p);
}

/** The z with Pr(Z > z) = q. */
export function normalUpperQuantile(q: number): number {
  requireNumber(q, 'q', 0, 1);
  if (q > 0.5) return -normalUpperQuantile(1 - q);
  if (q === 0.5) return 0;
  return q < LEAST_TAIL_BY_STEPS ? positiveQuantile(normalUpperTail, q, 1) : refinedNormalQuantile(q);
}

/** Below this the density at the quantile has no digits left to divide by. */
const LEAST_TAIL_BY_STEPS = 1e-300;

/**
 * The root of the tail by two of Halley's steps, each of which triples the digits, from the approximation 26.2.23 of
 * M. Abramowitz, I. A. Stegun, Handbook of Mathematical Functions (1964), which is right to 4.5e-4. It is called
 * once for each of tens of thousands.
 */
function refinedNormalQuantile(q: number): number {
  const t = Math.sqrt(-2 * Math.log(q));
  let z = t - (2.515517 + t * (0.802853 + t * 0.010328)) / (1 + t * (1.432788 + t * (0.189269 + t * 0.001308)));
  for (let step = 0; step < 2; step += 1) {
    const density = Math.exp((-z * z) / 2 - LOG_SQRT_TWO_PI);
    const newton = (normalUpperTail(z) - q) / density;
    z += newton / (1 - (z * newton) / 2);
  }
  return z;
}

// --- chi-square ------------------------------------------------------------------------------------------------------

/** Pr(X ≤ x) of the chi-square distribution with `df` degrees of freedom. */
export function chiSquareLowerTail(x: number, df: number): number {
  requireNumber(df, 'df', Number.MIN_VALUE, Number.MAX_VALUE);
  return gammaTail(requireNumber(x, 'x') / 2, df / 2, false);
}

/** Pr(X > x) of the chi-square distribution with `df` degrees of freedom: the p-value of a chi-square test. */
export function chiSquareUpperTail(x: number, df: number): number {
  requireNumber(df, 'df', Number.MIN_VALUE, Number.MAX_VALUE);
  return gammaTail(requireNumber(x, 'x') / 2, df / 2, true);
}

/** The x with Pr(X ≤ x) = p. */
export function chiSquareQuantile(p: number, df: number): number {
  requireNumber(p, 'p', 0, 1);
  if (p > 0.5) return chiSquareUpperQuantile(1 - p, df);
  return positiveQuantile((x) => chiSquareLowerTail(x, df), p, df, false);
}

/** The x with Pr(X > x) = q. */
export function chiSquareUpperQuantile(q: number, df: number): number {
  requireNumber(q, 'q', 0, 1);
  if (q > 0.5) return chiSquareQuantile(1 - q, df);
  return positiveQuantile((x) => chiSquareUpperTail(x, df), q, df);
}

// --- Student's t -----------------------------------------------------------------------------------------------------

/** Pr(T ≤ t) of Student's t distribution with `df` degrees of freedom. */
export function tLowerTail(t: number, df: number): number {
  return tUpperTail(-t, df);
}

/** Pr(T > t) of Student's t distribution with `df` degrees of freedom. */
export function tUpperTail(t: number, df: number): number {
  requireNumber(t, 't');
  requireNumber(df, 'df', Number.MIN_VALUE, Number.MAX_VALUE);
  const ratio = Math.abs(t) / Math.sqrt(df);
  let tail: number;
  if (ratio === Infinity) tail = 0;
  else if (ratio > 1e9) tail = farTTail(ratio, df);
  else {
    const below = 1 + ratio * ratio;
    tail = 0.5 * betaTail(1 / below, (ratio * ratio) / below, df / 2, 0.5);
  }
  return t > 0 ? tail : 1 - tail;
}

/** The first term of the series, all that is left where t² would overflow: I_w(a, ½) → w^a / (a·B(a, ½)). */
function farTTail(ratio: number, df: number): number {
  const a = df / 2;
  const logBeta = gammaln(a) + gammaln(0.5) - gammaln(a + 0.5);
  return 0.5 * Math.exp(-df * Math.log(ratio) - Math.log(a) - logBeta);
}

/** The t with Pr(T ≤ t) = p. */
export function tQuantile(p: number, df: number): number {
  requireNumber(p, 'p', 0, 1);
  return p <= 0.5 ? negated(tUpperQuantile(p, df)) : tUpperQuantile(1 - p, df);
}

/** The t with Pr(T > t) = q. */
export function tUpperQuantile(q: number, df: number): number {
  requireNumber(q, 'q', 0, 1);
  if (q > 0.5) return -tUpperQuantile(1 - q, df);
  return q === 0.5 ? 0 : positiveQuantile((t) => tUpperTail(t, df), q, 1);
}

// --- F ---------------------------------------------------------------------------------------------------------------

/** Pr(X ≤ x) of the F distribution with `df1` (numerator) and `df2` (denominator) degrees of freedom. */
export function fLowerTail(x: number, df1: number, df2: number): number {
  return fTail(x, df1, df2, false);
}

/** Pr(X > x) of the F distribution with `df1` (numerator) and `df2` (denominator) degrees of freedom. */
export function fUpperTail(x: number, df1: number, df2: number): number {
  return fTail(x, df1, df2, true);
}

function fTail(x: number, df1: number, df2: number, upper: boolean): number {
  requireNumber(x, 'x');
  requireNumber(df1, 'df1', Number.MIN_VALUE, Number.MAX_VALUE);
  requireNumber(df2, 'df2', Number.MIN_VALUE, Number.MAX_VALUE);
  if (x <= 0) return upper ? 1 : 0;
  if (x === Infinity) return upper ? 0 : 1;
  const ratio = (df1 / df2) * x;
  const share = ratio <= 1 ? ratio / (1 + ratio) : 1 / (1 + 1 / ratio);
  const rest = ratio <= 1 ? 1 / (1 + ratio) : 1 / ratio / (1 + 1 / ratio);
  return upper ? betaTail(rest, share, df2 / 2, df1 / 2) : betaTail(share, rest, df1 / 2, df2 / 2);
}

/** The x with Pr(X ≤ x) = p. */
export function fQuantile(p: number, df1: number, df2: number): number {
  requireNumber(p, 'p', 0, 1);
  if (p > 0.5) return fUpperQuantile(1 - p, df1, df2);
  return positiveQuantile((x) => fLowerTail(x, df1, df2), p, 1, false);
}

/** The x with Pr(X > x) = q. */
export function fUpperQuantile(q: number, df1: number, df2: number): number {
  requireNumber(q, 'q', 0, 1);
  if (q > 0.5) return fQuantile(1 - q, df1, df2);
  return positiveQuantile((x) => fUpperTail(x, df1, df2), q, 1);
}

// --- beta ------------------------------------------------------------------------------------------------------------

/** Pr(X ≤ x) of the beta distribution with shapes `a` and `b`. */
export function betaLowerTail(x: number, a: number, b: number): number {
  requireShapes(x, a, b);
  return betaTail(x, 1 - x, a, b);
}

/** Pr(X > x) of the beta distribution with shapes `a` and `b`. */
export function betaUpperTail(x: number, a: number, b: number): number {
  requireShapes(x, a, b);
  return betaTail(1 - x, x, b, a);
}

function requireShapes(x: number, a: number, b: number): void {
  requireNumber(x, 'x');
  requireNumber(a, 'a', Number.MIN_VALUE, Number.MAX_VALUE);
  requireNumber(b, 'b', Number.MIN_VALUE, Number.MAX_VALUE);
}

/** The x with Pr(X ≤ x) = p. */
export function betaQuantile(p: number, a: number, b: number): number {
  requireNumber(p, 'p', 0, 1);
  requireShapes(0, a, b);
  if (p === 0 || p === 1) return p;
  return p <= 0.5 ? betaRoot(p, a, b) : 1 - betaRootFromAbove(1 - p, a, b);
}

/** The x with Pr(X > x) = q. */
export function betaUpperQuantile(q: number, a: number, b: number): number {
  requireNumber(q, 'q', 0, 1);
  requireShapes(0, a, b);
  if (q === 0 || q === 1) return 1 - q;
  return q <= 0.5 ? 1 - betaRootFromAbove(q, a, b) : betaRoot(1 - q, a, b);
}

/** x for a lower tail p ≤ ½; sought as 1 − x where that is the smaller of the two. */
function betaRoot(p: number, a: number, b: number): number {
  if (betaTail(0.5, 0.5, a, b) >= p) return positiveQuantile((x) => betaTail(x, 1 - x, a, b), p, 0.5, false);
  return 1 - positiveQuantile((y) => betaTail(1 - y, y, a, b), p, 0.5);
}

/** 1 − x for an upper tail q ≤ ½: the lower quantile of the mirrored distribution. */
function betaRootFromAbove(q: number, a: number, b: number): number {
  return betaRoot(q, b, a);
}

// --- binomial --------------------------------------------------------------------------------------------------------

/** Pr(X ≤ k) of successes in `size` trials of the given probability. */
export function binomialLowerTail(k: number, size: number, probability: number): number {
  requireTrials(k, size, probability);
  if (k >= size) return 1;
  return betaTail(1 - probability, probability, size - k, k + 1);
}

/** Pr(X ≥ k), k itself included. */
export function binomialUpperTail(k: number, size: number, probability: number): number {
  requireTrials(k, size, probability);
  if (k === 0) return 1;
  if (k > size) return 0;
  return betaTail(probability, 1 - probability, k, size - k + 1);
}

/** Pr(X = k). */
export function binomialDensity(k: number, size: number, probability: number): number {
  return Math.exp(logBinomialDensity(k, size, probability));
}

/** ln Pr(X = k); −∞ where that is impossible. */
export function logBinomialDensity(k: number, size: number, probability: number): number {
  requireTrials(k, size, probability);
  const rest = 1 - probability;
  if (k > size) return -Infinity;
  if (probability === 0) return k === 0 ? 0 : -Infinity;
  if (rest === 0) return k === size ? 0 : -Infinity;
  if (k === 0) return size * Math.log1p(-probability);
  if (k === size) return size * Math.log(probability);
  return logBinomialTerm(k, size - k, probability, rest);
}

/** ln Pr(X = k) of the Poisson distribution; −∞ where that is impossible. Tables with given margins are built from it. */
export function logPoissonDensity(k: number, mean: number): number {
  requireCount(k, 'k');
  requireNumber(mean, 'mean', 0, Number.MAX_VALUE);
  if (k === 0) return negated(mean);
  if (mean === 0) return -Infinity;
  return -stirlingRemainder(k) - deviance(k, mean) - 0.5 * Math.log(k) - LOG_SQRT_TWO_PI;
}

function requireTrials(k: number, size: number, probability: number): void {
  requireCount(k, 'k');
  requireCount(size, 'size');
  requireNumber(probability, 'probability', 0, 1);
}

/** −value, without a −0. */
function negated(value: number): number {
  return value === 0 ? 0 : -value;
}
