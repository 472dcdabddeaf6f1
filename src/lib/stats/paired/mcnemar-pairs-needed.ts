import { normalQuantile, normalUpperQuantile } from '../distributions.ts';
import { connorPairs } from './connor-pairs.ts';
import { mcnemarCriticalCounts, type McnemarVariant } from './mcnemar-critical-counts.ts';
import { mcnemarRejectionChances, type PairedChange } from './mcnemar-power.ts';
import { roundUp } from '../round-up.ts';

/** Pairs up to which the exact numbers are sought. */
export const MOST_PAIRS = 10_000;
/** Beyond this by Connor's formula the search is not begun. */
const MOST_BY_FORMULA = 15_000;
/** Masses below this are left out of the walk. */
const NEGLIGIBLE = 1e-30;
/** A difference this small is none. */
const NO_DIFFERENCE = 1e-12;

/** Pairs that the McNemar test needs for a power, by two formulas and by its own two p-values. */
export interface McnemarPairsNeeded {
  readonly miettinen: number | null;
  readonly connor: number | null;
  readonly exact: number | null;
  readonly midP: number | null;
}

/**
 * How many pairs the McNemar test needs to reach a power.
 *
 * `connor` and `miettinen` are large-sample formulas, rounded up. `exact` and `midP` are the smallest numbers of pairs
 * with that power over all outcomes; as power rises by steps it may dip again above. With ψ the share that changes, δ the
 * difference of gained and lost, z the normal quantiles of 1 − α/2 and of the power:
 * Connor (z_α√ψ + z_β√(ψ − δ²))²/δ², Miettinen (z_αψ + z_β√(ψ² − δ²(3 + ψ)/4))²/(ψδ²).
 *
 * All are `null` where gained and lost are equal; the searched ones above 10,000 pairs, or where Connor's exceeds 15,000.
 *
 * Source: R. J. Connor, Biometrics 43 (1987) 207-211; O. S. Miettinen, Biometrics 24 (1968) 339-352.
 *
 * @example
 * mcnemarPairsNeeded({ changed: 0.11, gainedOfChanged: 0.84 }, 0.05, 0.8); // { miettinen: 137, connor: 152, exact: 160, midP: 141 }
 */
export function mcnemarPairsNeeded(change: PairedChange, alpha: number, power: number): McnemarPairsNeeded {
  const { changed, gainedOfChanged } = change;
  const difference = changed * (2 * gainedOfChanged - 1);
  if (changed === 0 || Math.abs(difference) < NO_DIFFERENCE) {
    return { miettinen: null, connor: null, exact: null, midP: null };
  }
  // Not null: there is a difference.
  const connor = connorPairs(changed, difference, alpha, power)!;
  const searched = (variant: McnemarVariant): number | null =>
    connor > MOST_BY_FORMULA ? null : smallestNumber(change, alpha, power, variant);
  return {
    miettinen: roundUp(miettinenPairs(changed, difference, alpha, power)),
    connor: roundUp(connor),
    exact: searched('exact'),
    midP: searched('midP'),
  };
}

/** Miettinen's number of pairs, not rounded. */
export function miettinenPairs(changed: number, difference: number, alpha: number, power: number): number {
  const spread = Math.sqrt(Math.max(0, changed ** 2 - (difference ** 2 * (3 + changed)) / 4));
  return (normalUpperQuantile(alpha / 2) * changed + normalQuantile(power) * spread) ** 2 / (changed * difference ** 2);
}

/**
 * Pairs one by one: the distribution of the discordant ones goes along, Pr_{n+1}(d) = (1 − ψ)·Pr_n(d) + ψ·Pr_n(d − 1).
 */
function smallestNumber(change: PairedChange, alpha: number, power: number, variant: McnemarVariant): number | null {
  const { changed, gainedOfChanged } = change;
  const rejects = mcnemarRejectionChances(mcnemarCriticalCounts(MOST_PAIRS, alpha, variant), gainedOfChanged);
  const mass = new Float64Array(MOST_PAIRS + 2);
  mass[0] = 1;
  let from = 0;
  let to = 0;
  for (let n = 1; n <= MOST_PAIRS; n += 1) {
    to += 1;
    let reached = 0;
    for (let d = to; d > from; d -= 1) {
      mass[d] = (1 - changed) * mass[d]! + changed * mass[d - 1]!;
      reached += mass[d]! * rejects[d]!;
    }
    mass[from]! *= 1 - changed;
    reached += mass[from]! * rejects[from]!;
    if (reached >= power) return n;
    while (to > from && mass[to]! < NEGLIGIBLE) mass[to--] = 0;
    while (from < to && mass[from]! < NEGLIGIBLE) mass[from++] = 0;
  }
  return null;
}
