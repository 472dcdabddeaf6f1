import { CLOSE } from './double-precision.ts';

/**
 * The x > 0 where a monotone tail takes the value `wanted` (at most ½). The root is first shut between x and 2x from
 * `start` on, which makes the precision relative to the root however far out it lies.
 */
export function positiveQuantile(tail: (x: number) => number, wanted: number, start: number, falling = true): number {
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
