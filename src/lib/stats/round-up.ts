/**
 * The next whole number, x itself where it is one. A sample size that misses a whole number by less than 1e-9 is that
 * number: rounding of the last digits must not ask for one more.
 */
export function roundUp(x: number): number {
  return Math.ceil(x - 1e-9);
}
