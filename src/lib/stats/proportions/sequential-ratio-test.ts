import { requireLevel } from '../require-number.ts';

export interface SequentialResult {
  /** `high`: the greater share is accepted, `low`: the lesser, `open`: neither yet. */
  readonly decision: 'high' | 'low' | 'open';
  /** The trial that decided, counted from 1; `null` while open. */
  readonly at: number | null;
  /** Log of the likelihood of the greater share over that of the lesser, at the decision or after the last trial. */
  readonly logRatio: number;
}

/**
 * Wald's sequential probability ratio test of two shares of success.
 *
 * Trial by trial: ln(high/low) for a success, ln((1 − high)/(1 − low)) for a failure, until the sum reaches ±ln((1 − e)/e).
 * For stopping early with both errors near e; a share estimated from the trials before such a stop is biased.
 *
 * Source: A. Wald, Sequential tests of statistical hypotheses, Annals of Mathematical Statistics 16 (1945) 117-186.
 *
 * @param successes the trials in order
 * @param low, high the two shares, 0 < low < high < 1
 * @param error e, of both kinds
 * @throws RangeError for shares or an error out of range
 *
 * @example
 * sequentialRatioTest(Array(27).fill(true), 0.85, 0.95); // { decision: 'high', at: 27, … }
 */
export function sequentialRatioTest(
  successes: readonly boolean[],
  low: number,
  high: number,
  error = 0.05,
): SequentialResult {
  requireLevel(low);
  requireLevel(high);
  if (!(low < high)) throw new RangeError(`low is ${String(low)}; expected less than high = ${String(high)}`);
  const bound = Math.log((1 - requireLevel(error)) / error);
  const gain = Math.log(high / low);
  const loss = Math.log((1 - high) / (1 - low));
  let logRatio = 0;
  for (const [i, success] of successes.entries()) {
    logRatio += success ? gain : loss;
    if (Math.abs(logRatio) >= bound) {
      return Object.freeze({ decision: logRatio > 0 ? 'high' : 'low', at: i + 1, logRatio });
    }
  }
  return Object.freeze({ decision: 'open', at: null, logRatio });
}
