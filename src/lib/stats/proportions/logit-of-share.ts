import { requireCount } from '../require-number.ts';

export interface LogitOfShare {
  /** ln(x/(n − x)). */
  readonly estimate: number;
  /** 1/x + 1/(n − x). */
  readonly variance: number;
  /** Whether ½ was added because x was 0 or n. */
  readonly halfAdded: boolean;
}

/**
 * Log odds of a counted share with its variance, for pooling shares. With x = 0 or x = n, ½ is added to x and 1 to n.
 *
 * Source: J. Gart, J. Zweifel, Biometrika 54 (1967) 181-187.
 *
 * @param x successes, 0 ≤ x ≤ n
 * @param n trials, at least 1
 * @throws RangeError for other counts
 *
 * @example
 * logitOfShare(45, 54); // { estimate: 1.6094, variance: 0.1333, halfAdded: false }
 */
export function logitOfShare(x: number, n: number): LogitOfShare {
  requireCount(x, 'x');
  requireCount(n, 'n');
  if (n === 0 || x > n) throw new RangeError(`${String(x)} of ${String(n)} is no share`);
  const halfAdded = x === 0 || x === n;
  const yes = halfAdded ? x + 0.5 : x;
  const no = (halfAdded ? n + 1 : n) - yes;
  return { estimate: Math.log(yes / no), variance: 1 / yes + 1 / no, halfAdded };
}
