import { requireNumber } from '../require-number.ts';

/** An estimate with the interval about it. */
export interface EstimateWithInterval {
  readonly estimate: number;
  readonly low: number;
  readonly high: number;
}

/**
 * Interval of the difference between two shares from the interval of each and the correlation of the two estimates.
 *
 * For two shares whose own intervals are sound and lopsided: the ends of the difference keep their shape, which
 * estimate ± z·se would lose. With l₁, u₁ and l₂, u₂ the ends about p₁ and p₂ and d = p₂ − p₁:
 * low = d − √((p₂−l₂)² − 2ρ(p₂−l₂)(u₁−p₁) + (u₁−p₁)²), high = d + √((u₂−p₂)² − 2ρ(u₂−p₂)(p₁−l₁) + (p₁−l₁)²), each
 * radicand cut at 0 and the ends cut to −1 … 1.
 *
 * Source: R. G. Newcombe, Statistics in Medicine 17 (1998) 2635-2650, for ρ = φ; in general G. Y. Zou, A. Donner,
 * Statistics in Medicine 27 (2008) 1693-1702.
 *
 * @param correlation ρ of the two estimates, −1 to 1; 0 for separate samples
 *
 * @example
 * differenceOfSharesInterval({ estimate: 0.5, low: 0.4, high: 0.6 }, { estimate: 0.7, low: 0.6, high: 0.8 }, 0);
 * // { low: 0.0586, high: 0.3414 }
 */
export function differenceOfSharesInterval(
  first: EstimateWithInterval,
  second: EstimateWithInterval,
  correlation: number,
): { low: number; high: number } {
  requireNumber(correlation, 'correlation', -1, 1);
  const difference = second.estimate - first.estimate;
  const below = reach(second.estimate - second.low, first.high - first.estimate, correlation);
  const above = reach(second.high - second.estimate, first.estimate - first.low, correlation);
  return { low: Math.max(-1, difference - below), high: Math.min(1, difference + above) };
}

/** √(x² − 2ρxy + y²), cut at 0 where rounding makes the square negative. */
function reach(x: number, y: number, correlation: number): number {
  return Math.sqrt(Math.max(x * x - 2 * correlation * x * y + y * y, 0));
}
