import type { McnemarVariant } from './mcnemar-critical-counts.ts';
import { mcnemarPower } from './mcnemar-power.ts';

/** Differences are sought in steps of this many thousandths. */
const STEPS = 1000;

/**
 * The smallest difference, in whole thousandths up to ψ, that the McNemar test shows with the power, the share that
 * changes being kept. Power grows with the difference, so that it is found by halving.
 *
 * @param pairs whole; without pairs, and where nothing changes, `null`
 * @param changed ψ, share of pairs that change either way, 0 to 1
 * @returns `null` where not even a change of all in one direction is shown
 */
export function mcnemarSmallestDifference(
  pairs: number,
  changed: number,
  alpha: number,
  power: number,
  variant: McnemarVariant,
): number | null {
  if (pairs === 0 || changed === 0) return null;
  const shown = (step: number): boolean => {
    const gainedOfChanged = Math.min(1, (1 + step / STEPS / changed) / 2);
    return mcnemarPower(pairs, { changed, gainedOfChanged }, alpha, variant) >= power;
  };
  let high = Math.floor(changed * STEPS + 1e-9);
  if (high < 1 || !shown(high)) return null;
  let low = 0;
  while (high - low > 1) {
    const middle = Math.floor((low + high) / 2);
    if (shown(middle)) high = middle;
    else low = middle;
  }
  return high / STEPS;
}
