/** Small enough to stand for 0 in a division without changing its result. */
export const TINY = 1e-300;
/** Half the distance from 1 to the next double. */
export const CLOSE = 2 ** -53;

/** `value`, or something tiny in its place where dividing by it would overflow. */
export function nonZero(value: number): number {
  return Math.abs(value) < TINY ? TINY : value;
}
