import gammainc from '@stdlib/math-base-special-gammainc';
import { CLOSE, nonZero, TINY } from './double-precision.ts';
import { deviance, LOG_SQRT_TWO_PI, stirlingRemainder } from './saddle-point.ts';

/** From this shape on the library loses digits: see `../distributions.ts`. */
const GAMMAINC_SHAPE_LIMIT = 50;

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

/**
 * Regularised incomplete gamma function of `shape` at `x`: lower, or the upper one computed by itself so that it keeps its
 * digits.
 */
export function gammaTail(x: number, shape: number, upper: boolean): number {
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
