/** Halvings before anything faster is tried: of several roots it is then the one that halving alone would find. */
const HALVINGS = 8;
const HALF_ULP = 2 ** -53;

/**
 * The root above 0 of a continuous function that falls through 0: 0 where it is not above 0 at 0.
 *
 * From `start` the upper end is doubled until the function is not above 0 there. The bracket is then made narrower until no
 * double lies between its ends, by halving and, once it is narrow, by the ITP method, which halves at worst. There is no
 * tolerance, so the root does not depend on one.
 *
 * Source of the ITP method: I. F. D. Oliveira, R. H. C. Takahashi, ACM Trans. Math. Softw. 47 (2020) 5.
 *
 * @param start first upper end, above 0
 * @throws RangeError where the function stays above 0 up to the largest double
 *
 * @example
 * fallingRoot((x) => 2 - x * x, 1); // 1.414213562373
 */
export function fallingRoot(of: (x: number) => number, start: number): number {
  let fLow = of(0);
  if (!(fLow > 0)) return 0;
  let low = 0;
  let high = start;
  let fHigh = of(high);
  while (fHigh > 0) {
    low = high;
    fLow = fHigh;
    high *= 2;
    if (!(high < Infinity)) throw new RangeError('the function does not fall to 0');
    fHigh = of(high);
  }
  const take = (x: number): void => {
    const f = of(x);
    if (f > 0) [low, fLow] = [x, f];
    else [high, fHigh] = [x, f];
  };
  for (let i = 0; i < HALVINGS; i++) take((low + high) / 2);

  const width = high - low;
  const least = high * HALF_ULP;
  const steps = Math.ceil(Math.log2(width / (2 * least))) + 1;
  for (let step = 0; step < steps && high - low > 2 * least; step++) {
    take(itpPoint(low, fLow, high, fHigh, least * 2 ** (steps - step) - (high - low) / 2, 0.2 / width));
  }
  for (;;) {
    const middle = (low + high) / 2;
    if (middle <= low || middle >= high) return middle;
    take(middle);
  }
}

/** Interpolate, truncate, project: the secant's point moved to the middle, and no further from it than `radius`. */
function itpPoint(low: number, fLow: number, high: number, fHigh: number, radius: number, scale: number): number {
  const middle = (low + high) / 2;
  const secant = (high * fLow - low * fHigh) / (fLow - fHigh);
  const toMiddle = Math.sign(middle - secant);
  const truncation = scale * (high - low) ** 2;
  const truncated = truncation <= Math.abs(middle - secant) ? secant + toMiddle * truncation : middle;
  const point = Math.abs(truncated - middle) <= radius ? truncated : middle - toMiddle * radius;
  // Rounding may carry it onto an end, and then nothing would be gained.
  return point > low && point < high ? point : middle;
}
