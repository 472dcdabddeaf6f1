/**
 * I²: the part of the variance of several studies' estimates that is between them and not within.
 *
 * τ²/(τ² + s²), with s² = (k − 1)Σu/((Σu)² − Σu²), u = 1/v, a typical variance within.
 *
 * Source: J. P. T. Higgins, S. G. Thompson, Stat. Med. 21 (2002) 1539-1558.
 *
 * @param tau2 variance between studies, at least 0
 * @param variance of each study, above 0; at least two, else a RangeError
 * @returns 0 to 1
 *
 * @example
 * heterogeneityShare(0.1, [0.1, 0.1, 0.1]); // 0.5
 */
export function heterogeneityShare(tau2: number, variance: readonly number[]): number {
  if (variance.length < 2) throw new RangeError(`${String(variance.length)} studies; expected at least 2`);
  let [sum, squares] = [0, 0];
  for (const v of variance) {
    sum += 1 / v;
    squares += 1 / (v * v);
  }
  const typical = ((variance.length - 1) * sum) / (sum * sum - squares);
  return tau2 / (tau2 + typical);
}
