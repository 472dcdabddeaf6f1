import gammaln from '@stdlib/math-base-special-gammaln';

// C. Loader, Fast and Accurate Computation of Binomial Probabilities (2000).

export const LOG_SQRT_TWO_PI = Math.log(2 * Math.PI) / 2;

/** ln Γ(n + 1) − ln(√(2πn)·(n/e)^n): what Stirling's formula leaves over. */
export function stirlingRemainder(n: number): number {
  if (n <= 15) return gammaln(n + 1) - (n + 0.5) * Math.log(n) + n - LOG_SQRT_TWO_PI;
  const s = 1 / (n * n);
  return (1 / 12 - (1 / 360 - (1 / 1260 - (1 / 1680 - (1 / 1188) * s) * s) * s) * s) / n;
}

/** x·ln(x/mean) + mean − x, without the cancellation when the two are close. */
export function deviance(x: number, mean: number): number {
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
export function logBinomialTerm(a: number, b: number, x: number, y: number): number {
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
