import { normalQuantile, normalUpperQuantile } from '../distributions.ts';
import { requireLevel, requireNumber } from '../require-number.ts';

/**
 * Pairs that McNemar's test needs to notice a difference of paired proportions, by Connor's formula.
 *
 * n = (z_{α/2}·√ψ + z_β·√(ψ − d²))² ÷ d², ψ the share of pairs that change, d the difference of the two shares. Not
 * rounded: round up for a plan.
 *
 * Source: R. J. Connor, Sample size for testing differences in proportions for the paired-sample design, Biometrics 43
 * (1987) 207-211.
 *
 * @param changed ψ, share of discordant pairs, 0–1
 * @param difference d, at most `changed` in size
 * @param alpha two-sided error of the first kind
 * @param power chance to notice it
 * @returns `null` where there is no difference: no number of pairs is enough
 *
 * @example
 * connorPairs(0.11, 0.0748, 0.05, 0.8); // 151.9
 */
export function connorPairs(changed: number, difference: number, alpha = 0.05, power = 0.8): number | null {
  requireNumber(changed, 'changed', 0, 1);
  requireNumber(difference, 'difference', -changed, changed);
  const zAlpha = normalUpperQuantile(requireLevel(alpha) / 2);
  const zBeta = normalQuantile(requireLevel(power));
  if (difference === 0) return null;
  const square = difference * difference;
  return (zAlpha * Math.sqrt(changed) + zBeta * Math.sqrt(Math.max(0, changed - square))) ** 2 / square;
}
