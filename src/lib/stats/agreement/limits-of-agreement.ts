import { meanInterval } from '../samples/mean-interval.ts';

/** As in the paper, whatever the level of intervals elsewhere. */
const FACTOR = 1.96;

export interface LimitsOfAgreement {
  readonly method: 'Bland–Altman limits of agreement';
  readonly n: number;
  readonly mean: number | null;
  /** Standard deviation of the differences, divisor n − 1. */
  readonly sd: number | null;
  readonly low: number | null;
  readonly high: number | null;
}

/**
 * Limits of agreement of two ways of measuring: where about 95 % of their differences lie.
 *
 * mean ± 1.96·SD of the differences, in their unit. No interval of a mean: it does not shrink as more is measured.
 *
 * All but `n` is `null` without a difference; `sd` and the limits with one. With all differences equal both limits are
 * that difference.
 *
 * Source: J. M. Bland, D. G. Altman, Statistical methods for assessing agreement between two methods of clinical
 * measurement, Lancet 327 (1986) 307-310.
 *
 * @throws RangeError for NaN among the differences
 *
 * @example
 * limitsOfAgreement([-1, 0, 1]); // { n: 3, mean: 0, sd: 1, low: -1.96, high: 1.96 }
 */
export function limitsOfAgreement(differences: readonly number[]): LimitsOfAgreement {
  const { n, mean, sd } = meanInterval(differences);
  const ends = mean === null || sd === null ? null : { low: mean - FACTOR * sd, high: mean + FACTOR * sd };
  return Object.freeze({
    method: 'Bland–Altman limits of agreement',
    n,
    mean,
    sd,
    low: ends?.low ?? null,
    high: ends?.high ?? null,
  });
}
