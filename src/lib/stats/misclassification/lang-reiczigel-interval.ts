import { normalUpperQuantile } from '../distributions.ts';
import { type Interval, NO_INTERVAL } from '../interval.ts';
import { requireLevel, requireNumber } from '../require-number.ts';

export interface ImperfectTest {
  /** Share of the units that the fallible test calls positive, 0 to 1. */
  readonly positive: number;
  /** Units tested, above 0. */
  readonly tested: number;
  /** Share of true positives called positive, and how many were tried; need not be whole. */
  readonly sensitivity: number;
  readonly sensitivityOf: number;
  /** Share of true negatives called negative, and how many were tried. */
  readonly specificity: number;
  readonly specificityOf: number;
}

/**
 * Interval of a true share from the share a fallible test calls positive, where the test's sensitivity and specificity are
 * themselves estimates: the method of Lang and Reiczigel.
 *
 * With a = (N q + z²/2)/(N + z²), s = (n_s Se + 1)/(n_s + 2), c = (n_c Sp + 1)/(n_c + 2), J = s + c − 1, P = (a + c − 1)/J,
 * v_s = s(1 − s)/(n_s + 2) and v_c likewise: P + 2z²(P v_s − (1 − P) v_c) ± z √(a(1 − a)/(N + z²) + P² v_s + (1 − P)² v_c)/J,
 * cut to 0–1.
 *
 * Both ends are `null` where the whole interval lies outside 0–1, which says that the test was another one on trial than in
 * use, and where s + c is not above 1.
 *
 * Source: Z. Lang, J. Reiczigel, Confidence limits for prevalence of disease adjusted for estimated sensitivity and
 * specificity, Prev. Vet. Med. 113 (2014) 13-22.
 *
 * @throws RangeError for shares outside 0–1 or numbers of units that are not above 0
 *
 * @example
 * langReiczigelInterval({ positive: 0.3, tested: 150, sensitivity: 0.96, sensitivityOf: 50, specificity: 0.89, specificityOf: 50 });
 * // { low: 0.0846, high: 0.3342 }
 */
export function langReiczigelInterval(test: ImperfectTest, level = 0.95): Interval {
  for (const name of ['positive', 'sensitivity', 'specificity'] as const) requireNumber(test[name], name, 0, 1);
  for (const name of ['tested', 'sensitivityOf', 'specificityOf'] as const) {
    requireNumber(test[name], name, Number.MIN_VALUE, Number.MAX_VALUE);
  }
  const z = normalUpperQuantile((1 - requireLevel(level)) / 2);
  const z2 = z * z;
  const n = test.tested + z2;
  const a = (test.tested * test.positive + z2 / 2) / n;
  const s = (test.sensitivityOf * test.sensitivity + 1) / (test.sensitivityOf + 2);
  const c = (test.specificityOf * test.specificity + 1) / (test.specificityOf + 2);
  const youden = s + c - 1;
  if (!(youden > 0)) return NO_INTERVAL;
  const share = (a + c - 1) / youden;
  const ofS = (s * (1 - s)) / (test.sensitivityOf + 2);
  const ofC = (c * (1 - c)) / (test.specificityOf + 2);
  const middle = share + 2 * z2 * (share * ofS - (1 - share) * ofC);
  const half = (z * Math.sqrt((a * (1 - a)) / n + share * share * ofS + (1 - share) ** 2 * ofC)) / youden;
  if (middle + half <= 0 || middle - half >= 1) return NO_INTERVAL;
  return Object.freeze({ low: Math.max(0, middle - half), high: Math.min(1, middle + half) });
}
