import { normalUpperQuantile } from '../distributions.ts';
import { roundUp } from '../round-up.ts';

export interface DoubleSamplingAsked {
  /** p: the true share. */
  readonly share: number;
  readonly sensitivity: number;
  readonly specificity: number;
  /** Cost of one unit by the cheap method and by the true one, in the same measure. */
  readonly cheapCost: number;
  readonly trueCost: number;
  /** n: units that have the cheap class. */
  readonly units: number;
  /** Half the width of the interval wanted. */
  readonly halfWidth: number;
}

export interface DoubleSamplingPlan {
  /** Share that the cheap method finds. */
  readonly raw: number;
  /** K: squared correlation of the true and the cheap class. */
  readonly reliability: number;
  /** R: cost of a true class ÷ cost of a cheap one. */
  readonly costRatio: number | null;
  /** The share of the units to class truly that gives most for the cost. */
  readonly optimalFraction: number | null;
  /** True classes for the half width at these units. */
  readonly trueUnits: number | null;
  readonly atOptimal: { readonly trueUnits: number | null; readonly halfWidth: number | null };
  /** Where both numbers can be chosen. */
  readonly free: { readonly units: number | null; readonly trueUnits: number | null; readonly cost: number | null };
}

/**
 * Double sampling with misclassification: how many units of a random part must be classed truly as well.
 *
 * All n units are classed by a cheap method that errs, a random m of them truly too. The variance of the corrected share is
 * pq((1 − K)/m + K/n), K = pq(se + sp − 1)²/(raw(1 − raw)), raw = p·se + q(1 − sp); the best m/n is
 * min(1, √((1 − K)/(K·R))). K is 0 where raw is 0 or 1, and the fraction then 1. With K = 1 the cheap method does not err
 * and nothing is needed: fraction and numbers are `null`, as they are where p is 0 or 1. No cheap cost: no cost ratio, nor
 * what rests on it. `trueUnits` is `null` too where all n would not be enough.
 *
 * Source: A. Tenenbein, A double sampling scheme for estimating from binomial data with misclassifications, JASA 65 (1970)
 * 1350-1361.
 */
export function doubleSamplingPlan(asked: DoubleSamplingAsked, level = 0.95): DoubleSamplingPlan {
  const { share: p, sensitivity, specificity, cheapCost, trueCost, units: n } = asked;
  const raw = p * sensitivity + (1 - p) * (1 - specificity);
  const spread = raw * (1 - raw);
  const pq = p * (1 - p);
  const reliability = spread === 0 ? 0 : (pq * (sensitivity + specificity - 1) ** 2) / spread;
  const costRatio = cheapCost > 0 ? trueCost / cheapCost : null;
  const optimalFraction = costRatio === null ? null : bestFraction(reliability, costRatio);
  const z = normalUpperQuantile((1 - level) / 2);
  const target = (asked.halfWidth / z) ** 2;
  const known = { raw, reliability, costRatio, optimalFraction };
  const trueUnits = reliability >= 1 || pq === 0 ? null : trueUnitsFor(target, pq, reliability, n);
  const nothing = {
    atOptimal: { trueUnits: null, halfWidth: null },
    free: { units: null, trueUnits: null, cost: null },
  };
  if (optimalFraction === null || pq === 0) return { ...known, trueUnits, ...nothing };
  const units = roundUp((pq * ((1 - reliability) / optimalFraction + reliability)) / target);
  const m = roundUp(optimalFraction * units);
  const free = { units, trueUnits: m, cost: units * cheapCost + m * trueCost };
  if (n === 0) return { ...known, trueUnits, atOptimal: nothing.atOptimal, free };
  const best = Math.max(1, roundUp(optimalFraction * n));
  const halfWidth = z * Math.sqrt(pq * ((1 - reliability) / best + reliability / n));
  return { ...known, trueUnits, atOptimal: { trueUnits: best, halfWidth }, free };
}

function bestFraction(reliability: number, costRatio: number): number | null {
  if (reliability >= 1) return null;
  if (reliability === 0) return 1;
  return Math.min(1, Math.sqrt((1 - reliability) / (reliability * costRatio)));
}

function trueUnitsFor(target: number, pq: number, reliability: number, n: number): number | null {
  const left = n > 0 ? target - (pq * reliability) / n : -1;
  if (left <= 0) return null;
  const needed = roundUp((pq * (1 - reliability)) / left);
  return needed > n ? null : needed;
}
