import betainc from '@stdlib/math-base-special-betainc';
import { CLOSE, nonZero } from './double-precision.ts';
import { logBinomialTerm } from './saddle-point.ts';

/** Below this the library loses digits: see `../distributions.ts`. */
const BETAINC_LEAST_TAIL = 1e-200;

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

/** Regularised incomplete beta I_x(a, b) with x and y = 1 − x both given, so that neither loses its digits near 1. */
export function betaTail(x: number, y: number, a: number, b: number): number {
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
