import { normalUpperQuantile } from '../distributions.ts';
import { roundUp } from '../round-up.ts';

/** One class only, and a variance that rounding leaves of 0. */
const NO_CHANCE = 1e-12;
const NO_VARIANCE = 1e-24;

export interface AgreementUnitsNeeded {
  /** Share of units on which two raters agree at this kappa. */
  readonly agreement: number;
  /** Units classed by both for an interval of kappa of the width asked for. */
  readonly units: number | null;
  /** The same for Gwet's AC1 at the same table. */
  readonly ac1: { readonly estimate: number | null; readonly units: number | null };
}

/**
 * Units that two raters must class for an interval of kappa, and of AC1, that is so wide in all.
 *
 * ⌈(2z/width)²·σ²⌉, σ² the large-sample variance for one unit at the table p_ij = (1 − κ)π_iπ_j + κπ_iδ_ij: both raters
 * see the same shares, and what they share beyond chance lies on the diagonal.
 *
 * Source: J. L. Fleiss, J. Cohen, B. S. Everitt, Psychological Bulletin 72 (1969) 323-327; K. L. Gwet, British Journal of
 * Mathematical and Statistical Psychology 61 (2008) 29-48.
 *
 * @param shares of the classes, any positive scale; with one class only there is no kappa: `null`
 * @param kappa 0 to 1; where σ² is 0 the units are `null`
 * @param width of the interval from end to end, above 0
 *
 * @example
 * agreementUnitsNeeded([3584, 358, 48], 0.8, 0.2).units; // 390
 */
export function agreementUnitsNeeded(
  shares: readonly number[],
  kappa: number,
  width: number,
  level = 0.95,
): AgreementUnitsNeeded {
  const total = shares.reduce((sum, share) => sum + share, 0);
  const pi = shares.map((share) => share / total);
  const table = pi.map((a, i) => pi.map((b, j) => (1 - kappa) * a * b + (i === j ? kappa * a : 0)));
  const agreement = table.reduce((sum, row, i) => sum + row[i]!, 0);
  const chance = pi.reduce((sum, share) => sum + share * share, 0);
  if (1 - chance < NO_CHANCE) return { agreement, units: null, ac1: { estimate: null, units: null } };
  const scale = (2 * normalUpperQuantile((1 - level) / 2)) / width;
  const units = (variance: number): number | null => (variance < NO_VARIANCE ? null : roundUp(scale ** 2 * variance));
  const same = (i: number, j: number): number => (i === j ? 1 : 0);
  const kappaVariance = varianceOf(table, (i, j) => same(i, j) - (pi[i]! + pi[j]!) * (1 - kappa)) / (1 - chance) ** 2;
  const classes = pi.length - 1;
  const byChance = pi.reduce((sum, share) => sum + share * (1 - share), 0) / classes;
  const ac1 = (agreement - byChance) / (1 - byChance);
  const ac1Variance =
    varianceOf(table, (i, j) => same(i, j) - (2 * (1 - ac1) * (1 - (pi[i]! + pi[j]!) / 2)) / classes) /
    (1 - byChance) ** 2;
  return { agreement, units: units(kappaVariance), ac1: { estimate: ac1, units: units(ac1Variance) } };
}

/** Σ p_ij(v_ij − v̄)². */
function varianceOf(table: readonly (readonly number[])[], value: (i: number, j: number) => number): number {
  const cells = table.flatMap((row, i) => row.map((p, j) => ({ p, v: value(i, j) })));
  const mean = cells.reduce((sum, { p, v }) => sum + p * v, 0);
  return cells.reduce((sum, { p, v }) => sum + p * (v - mean) ** 2, 0);
}
