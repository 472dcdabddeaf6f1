/**
 * The root above 0 of a function that falls through 0: 0 where it is not above 0 at 0.
 *
 * From `start` the upper end is doubled until the function is not above 0 there; then the middle takes the place of an end
 * until no double lies between. There is no tolerance, so the root is the same to the last digit wherever it is computed.
 *
 * @param start first upper end, above 0
 * @throws RangeError where the function stays above 0 up to the largest double
 *
 * @example
 * fallingRoot((x) => 2 - x * x, 1); // 1.4142135623730951
 */
export function fallingRoot(of: (x: number) => number, start: number): number {
  if (!(of(0) > 0)) return 0;
  let low = 0;
  let high = start;
  while (of(high) > 0) {
    high *= 2;
    if (!(high < Infinity)) throw new RangeError('the function does not fall to 0');
  }
  for (;;) {
    const middle = (low + high) / 2;
    if (middle <= low || middle >= high) return middle;
    if (of(middle) > 0) low = middle;
    else high = middle;
  }
}
