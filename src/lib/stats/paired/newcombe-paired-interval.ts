import { differenceOfSharesInterval } from '../proportions/difference-of-shares-interval.ts';
import type { Interval } from '../interval.ts';
import { requireCount, requireLevel, requireNumber } from '../require-number.ts';
import { wilsonIntervalOfExpected } from '../proportions/wilson-interval.ts';

/** The four kinds of pairs when a property is looked at twice, first and second. */
export interface PairedCounts {
  /** a: pairs with the property both times. */
  readonly both: number;
  /** b: pairs that have it the second time only. */
  readonly gained: number;
  /** c: pairs that had it the first time only. */
  readonly lost: number;
  /** d: pairs without it either time. */
  readonly neither: number;
}

export interface PairedDifference extends Interval {
  readonly method: 'Newcombe hybrid score interval for paired proportions, method 10';
  /** Number of pairs. */
  readonly n: number;
  /** Share with the property the first and the second time. */
  readonly first: number | null;
  readonly second: number | null;
  /** second − first. */
  readonly difference: number | null;
  /** The correlation φ that entered the interval, after its continuity correction. */
  readonly phi: number | null;
}

/**
 * Difference between two paired proportions with Newcombe's hybrid score interval, his method 10.
 *
 * For "how much larger is the share the second time", the same units having been looked at twice. It combines the
 * Wilson intervals of the two shares and their correlation φ = (ad − bc) ÷ √(product of the four margins). φ is
 * corrected for continuity: where ad > bc, max(ad − bc − n/2, 0) takes the place of ad − bc. φ is 0 where a margin is 0.
 *
 * With l₁, u₁ and l₂, u₂ the Wilson limits of the first and the second share p₁, p₂ and d = p₂ − p₁:
 * low = d − √((p₂−l₂)² − 2φ(p₂−l₂)(u₁−p₁) + (u₁−p₁)²), high = d + √((u₂−p₂)² − 2φ(u₂−p₂)(p₁−l₁) + (p₁−l₁)²).
 *
 * All is `null` without a pair. Counts are whole and at least 0, the level lies between 0 and 1, else a RangeError.
 *
 * Source: R. G. Newcombe, Improved confidence intervals for the difference between binomial proportions based on
 * paired data, Statistics in Medicine 17 (1998) 2635-2650.
 *
 * @example
 * newcombePairedInterval({ both: 59, gained: 6, lost: 16, neither: 80 });
 * // { difference: -0.0621, low: -0.1186, high: -0.0046, … }
 */
export function newcombePairedInterval(pairs: PairedCounts, level = 0.95): PairedDifference {
  for (const [name, count] of Object.entries(pairs)) requireCount(count as number, name);
  return newcombePairedIntervalOfExpected(pairs, level);
}

/**
 * The same for numbers of pairs that are expected, not counted: the four need not be whole, their sum is, save for the
 * last digits.
 */
export function newcombePairedIntervalOfExpected(pairs: PairedCounts, level = 0.95): PairedDifference {
  const { both, gained, lost, neither } = pairs;
  for (const [name, count] of Object.entries(pairs)) requireNumber(count as number, name, 0);
  requireLevel(level);
  const n = Math.round(both + gained + lost + neither);
  const method = 'Newcombe hybrid score interval for paired proportions, method 10';
  if (n === 0) {
    return Object.freeze({ method, n, first: null, second: null, difference: null, phi: null, low: null, high: null });
  }
  const first = (both + lost) / n;
  const second = (both + gained) / n;
  const difference = (gained - lost) / n;
  const phi = correctedPhi(pairs, n);
  const one = wilsonIntervalOfExpected(Math.min(n, both + lost), n, level);
  const two = wilsonIntervalOfExpected(Math.min(n, both + gained), n, level);
  return Object.freeze({
    method,
    n,
    first,
    second,
    difference,
    phi,
    ...differenceOfSharesInterval(
      { estimate: first, low: one.low!, high: one.high! },
      { estimate: second, low: two.low!, high: two.high! },
      phi,
    ),
  });
}

function correctedPhi({ both, gained, lost, neither }: PairedCounts, n: number): number {
  // Roots one by one: the product of four large margins would pass what a double holds exactly.
  const margins =
    Math.sqrt(both + gained) * Math.sqrt(lost + neither) * Math.sqrt(both + lost) * Math.sqrt(gained + neither);
  if (margins === 0) return 0;
  const cross = both * neither - gained * lost;
  const phi = (cross > 0 ? Math.max(cross - n / 2, 0) : cross) / margins;
  // The four roots may miss a correlation of −1 by the last digit.
  return Math.max(-1, Math.min(1, phi));
}
