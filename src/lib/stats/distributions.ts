import betainc from '@stdlib/math-base-special-betainc';
import erfc from '@stdlib/math-base-special-erfc';
import gammainc from '@stdlib/math-base-special-gammainc';
import gammaln from '@stdlib/math-base-special-gammaln';
import { requireCount, requireNumber } from './require-number.ts';

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
 * 10 %), and the continued fractions below take over.
 *
 * @example
 * normalUpperTail(1.959963984540054); // 0.025
 * chiSquareUpperTail(3.841458820694124, 1); // 0.05
 * tQuantile(0.975, 10); // 2.2281388519649385
 */

const LOG_SQRT_TWO_PI = Math.log(2 * Math.PI) / 2;
const TINY = 1e-300;
const CLOSE = 2 ** -53;
const GAMMAINC_SHAPE_LIMIT = 50;
const BETAINC_LEAST_TAIL = 1e-200;

// --- saddle-point pieces: C. Loader, Fast and Accurate Computation of Binomial Probabilities (2000) ---------------

/** ln Γ(n + 1) − ln(√(2πn)·(n/e)^n): what Stirling's formula leaves over. */
function stirlingRemainder(n: number): number {
  if (n <= 15) return gammaln(n + 1) - (n + 0.5) * Math.log(n) + n - LOG_SQRT_TWO_PI;
  const s = 1 / (n * n);
  return (1 / 12 - (1 / 360 - (1 / 1260 - (1 / 1680 - (1 / 1188) * s) * s) * s) * s) / n;
}

/** x·ln(x/mean) + mean − x, without the cancellation when the two are close. */
function deviance(x: number, mean: number): number {
  const difference = x - mean;
  if (Math.abs(difference) >= 0.1 * (x + mean)) return x * Math.log(x / mean) + mean - x;
  const v = difference / (x + mean);
  let term = 2 * x * v;
  let sum = difference * v;
  for (let j = 3; ; j += 2) {
    term *= v * v;
    const next = sum + term / j;
    if (next === sum) return next;
    sum = next;
  }
}

/** ln of n!/(a!b!) · x^a · y^b for a + b = n and x + y = 1; a and b positive, not necessarily whole. */
function logBinomialTerm(a: number, b: number, x: number, y: number): number {
  const n = a + b;
  return (
    stirlingRemainder(n) -
    stirlingRemainder(a) -
    stirlingRemainder(b) -
    deviance(a, n * x) -
    deviance(b, n * y) +
    0.5 * (Math.log(n / a) - Math.log(b)) -
    LOG_SQRT_TWO_PI
  );
}

// --- incomplete gamma ---------------------------------------------------------------------------------------------

/** Regularised lower incomplete gamma by its power series (DLMF 8.7.1); for x below the shape. */
function gammaSeries(shape: number, x: number): number {
  let term = 1;
  let sum = 1;
  for (let n = 1; term > sum * CLOSE; n++) {
    term *= x / (shape + n);
    sum += term;
  }
  const logFront = -stirlingRemainder(shape) - deviance(shape, x) - LOG_SQRT_TWO_PI - 0.5 * Math.log(shape);
  return Math.exp(logFront) * sum;
}

/** Regularised upper incomplete gamma by its continued fraction (DLMF 8.9.2, Lentz's method); for x above the shape. */
function gammaFraction(shape: number, x: number): number {
  let b = x + 1 - shape;
  let c = 1 / TINY;
  let d = 1 / b;
  let product = d;
  for (let n = 1; ; n++) {
    const a = -n * (n - shape);
    b += 2;
    d = 1 / nonZero(a * d + b);
    c = nonZero(b + a / c);
    product *= c * d;
    if (Math.abs(c * d - 1) <= 2 * CLOSE) break;
  }
  const logFront = -stirlingRemainder(shape) - deviance(shape, x) - LOG_SQRT_TWO_PI + 0.5 * Math.log(shape);
  return Math.exp(logFront) * product;
}

function nonZero(value: number): number {
  return Math.abs(value) < TINY ? TINY : value;
}

function gammaTail(x: number, shape: number, upper: boolean): number {
  if (x <= 0) return upper ? 1 : 0;
  if (x === Infinity) return upper ? 0 : 1;
  if (shape < GAMMAINC_SHAPE_LIMIT) return gammainc(x, shape, true, upper);
  if (x < shape) {
    const lower = gammaSeries(shape, x);
    return upper ? 1 - lower : lower;
  }
  const above = gammaFraction(shape, x);
  return upper ? above : 1 - above;
}

// --- incomplete beta ----------------------------------------------------------------------------------------------

/** Regularised incomplete beta I_x(a, b) by its continued fraction (DLMF 8.17.22, Lentz's method); for x below the mean. */
function betaFraction(x: number, y: number, a: number, b: number): number {
  const logFront = logBinomialTerm(a, b, x, y) + Math.log(b / (a + b));
  let c = 1;
  let d = 1 / nonZero(1 - ((a + b) * x) / (a + 1));
  let product = d;
  for (let m = 1; ; m++) {
    const even = (m * (b - m) * x) / ((a + 2 * m - 1) * (a + 2 * m));
    d = 1 / nonZero(1 + even * d);
    c = nonZero(1 + even / c);
    product *= c * d;
    const odd = (-(a + m) * (a + b + m) * x) / ((a + 2 * m) * (a + 2 * m + 1));
    d = 1 / nonZero(1 + odd * d);
    c = nonZero(1 + odd / c);
    product *= c * d;
    if (Math.abs(c * d - 1) <= 2 * CLOSE) break;
  }
  return Math.exp(logFront) * product;
}

/**
 * I_x(a, b) with x and y = 1 − x both given, so that neither loses its digits near 1.
 */
function betaTail(x: number, y: number, a: number, b: number): number {
  if (x <= 0) return 0;
  if (y <= 0) return 1;
  let tail: number;
  if (x <= y) tail = betainc(x, a, b, true, false);
  else {
    // Near 1 the library's own complement is off by up to 5e-10 where 1 − tail is exact.
    const other = betainc(y, b, a, true, false);
    tail = other < 0.5 ? 1 - other : betainc(y, b, a, true, true);
  }
  return tail > BETAINC_LEAST_TAIL ? tail : betaFraction(x, y, a, b);
}

// --- normal -------------------------------------------------------------------------------------------------------

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
  return q === 0.5 ? 0 : positiveQuantile(normalUpperTail, q, 1);
}

// --- chi-square ---------------------------------------------------------------------------------------------------

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

// --- Student's t --------------------------------------------------------------------------------------------------

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

// --- F ------------------------------------------------------------------------------------------------------------

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

// --- beta ---------------------------------------------------------------------------------------------------------

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

// --- binomial -----------------------------------------------------------------------------------------------------

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

// --- roots --------------------------------------------------------------------------------------------------------

function negated(value: number): number {
  return value === 0 ? 0 : -value;
}

/**
 * The x > 0 where a monotone tail takes the value `wanted` (at most ½). The root is first shut between x and 2x from
 * `start` on, which makes the precision relative to the root however far out it lies.
 */
function positiveQuantile(tail: (x: number) => number, wanted: number, start: number, falling = true): number {
  if (wanted === 0) return falling ? Infinity : 0;
  const target = Math.log(wanted);
  // Positive while x is still too small.
  const excess = (x: number): number => {
    const t = tail(x);
    const above = t > 0 ? Math.log(t) - target : -1000;
    return falling ? above : -above;
  };
  let low = start;
  let high = start;
  while (excess(high) > 0 && high < Number.MAX_VALUE / 4) high *= 2;
  if (high === low) {
    low /= 2;
    while (excess(low) < 0 && low > Number.MIN_VALUE) {
      high = low;
      low /= 2;
    }
  } else low = high / 2;
  return rootBetween(excess, low, high);
}

/**
 * Root of a function that is ≥ 0 at `low` and ≤ 0 at `high`: T. R. Chandrupatla, A new hybrid quadratic/bisection
 * algorithm, Advances in Engineering Software 28 (1997) 145-149. Ends when the bracket is a few last digits wide.
 */
function rootBetween(f: (x: number) => number, low: number, high: number): number {
  // a is the newest point, b the other end of the bracket, c the point given up last.
  let a = high;
  let b = low;
  let fa = f(a);
  let fb = f(b);
  let share = 0.5;
  for (let i = 0; i < 200 && fa !== 0; i++) {
    const x = a + share * (b - a);
    const fx = f(x);
    const sameSide = Math.sign(fx) === Math.sign(fa);
    const c = sameSide ? a : b;
    const fc = sameSide ? fa : fb;
    if (!sameSide) {
      b = a;
      fb = fa;
    }
    a = x;
    fa = fx;
    const precision = 2 * CLOSE * Math.abs(Math.abs(fb) < Math.abs(fa) ? b : a);
    if (Math.abs(b - a) <= 2 * precision) break;
    const xi = (a - b) / (c - b);
    const phi = (fa - fb) / (fc - fb);
    share = 0.5;
    if (phi * phi < xi && (1 - phi) * (1 - phi) < 1 - xi) {
      share = (fa / (fb - fa)) * (fc / (fb - fc)) + (((c - a) / (b - a)) * fa * fb) / ((fc - fa) * (fc - fb));
    }
    const narrow = precision / Math.abs(b - a);
    share = Math.min(1 - narrow, Math.max(narrow, share));
  }
  return Math.abs(fb) < Math.abs(fa) ? b : a;
}
