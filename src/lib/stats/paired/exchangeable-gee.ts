import { normalUpperQuantile, normalUpperTail } from '../distributions.ts';
import { finiteOrNull } from '../finite-or-null.ts';
import { requireLevel } from '../require-number.ts';
import { ClusteredModel } from './clustered-model.ts';

/** Observations in any order, column by column. */
export interface ClusteredOutcomes {
  /** 1 or 0. */
  readonly outcome: ArrayLike<number>;
  /** The covariate, in a unit of the caller's choice: the coefficient is per unit of it. */
  readonly covariate: ArrayLike<number>;
  /** Cluster of each observation, 0 to clusterCount − 1. */
  readonly cluster: ArrayLike<number>;
  readonly clusterCount: number;
  /**
   * How many clusters are like each one in every observation, itself included; by default 1. Few kinds of cluster stand for
   * any number of them, and the cost is that of the kinds.
   */
  readonly alike?: ArrayLike<number>;
}

/** Why there is no estimate. */
export type NoGeeEstimate =
  'one outcome' | 'one covariate value' | 'separated' | 'improper correlation' | 'not converged';

export interface GeeResult {
  readonly method: 'Logistic GEE, exchangeable working correlation, robust standard errors';
  /** Clusters that have an observation. */
  readonly clusters: number;
  readonly observations: number;
  readonly intercept: number | null;
  readonly coefficient: number | null;
  /** Robust (sandwich) standard error of the coefficient. */
  readonly se: number | null;
  readonly z: number | null;
  /** Two-sided. */
  readonly p: number | null;
  /** exp(coefficient): per unit of the covariate. */
  readonly oddsRatio: number | null;
  /** Interval of the odds ratio. */
  readonly low: number | null;
  readonly high: number | null;
  /** Working correlation within a cluster; `null` where no cluster has two observations. */
  readonly alpha: number | null;
  readonly reason: NoGeeEstimate | null;
}

/**
 * Logistic regression of a yes/no outcome on one covariate when observations come in clusters: generalised estimating
 * equations with exchangeable working correlation and robust variance.
 *
 * For "does the share rise or fall with the covariate" where the same unit is observed several times; an ordinary
 * logistic regression would take repeated looks at one unit for as many units.
 *
 * logit μ = β₀ + β₁x. With Pearson residuals r = (y − μ)/√(μ(1 − μ)): scale φ = Σr²/N, α = Σ over pairs within clusters of
 * r_ij·r_ik ÷ (φ·number of such pairs). Steps β ← β + (Σ D'V⁻¹D)⁻¹ Σ D'V⁻¹(y − μ), α anew before each, from the
 * independence estimate on until no step is above 1e-10. Variance B⁻¹(Σ s_i·s_i')B⁻¹ without small-sample correction.
 * V⁻¹ is written out for exchangeable correlation, so each round is linear in the observations.
 *
 * No estimate, with the `reason`, where one outcome or one covariate value only occurs, where the outcomes are separated
 * (no covariate of one outcome beyond the least of the other, either way round), where no step falls below 1e-10
 * within 200, or where α is no correlation: not below 1 (by 1e-9; nobody changes, and the equations have no inverse) or
 * 1 + (m − 1)α not above 0 (by 1e-9), m the greatest cluster. Without a cluster of two `alpha` is `null` and the working
 * correlation independence.
 *
 * Source: K.-Y. Liang, S. L. Zeger, Longitudinal data analysis using generalized linear models, Biometrika 73 (1986) 13-22.
 *
 * @throws RangeError for lengths that differ, outcomes other than 0 and 1, a covariate that is not finite, or a cluster
 * out of range, or `alike` that is not a count of at least 1 for each cluster
 *
 * @example
 * exchangeableGee({ outcome: [0, 1, 0, 0, 1, 1], covariate: [0, 1, 0, 1, 0, 1], cluster: [0, 0, 1, 1, 2, 2], clusterCount: 3 });
 * // { clusters: 3, observations: 6, coefficient: 1.386, oddsRatio: 4, … }
 */
export function exchangeableGee(data: ClusteredOutcomes, level = 0.95): GeeResult {
  requireLevel(level);
  const model = new ClusteredModel(data);
  const base = {
    method: 'Logistic GEE, exchangeable working correlation, robust standard errors',
    clusters: model.clusters,
    observations: model.observations,
  } as const;
  const nothing = (reason: NoGeeEstimate): GeeResult =>
    Object.freeze({
      ...base,
      intercept: null,
      coefficient: null,
      se: null,
      z: null,
      p: null,
      oddsRatio: null,
      low: null,
      high: null,
      alpha: null,
      reason,
    });
  const hindrance = model.hindrance();
  if (hindrance !== null) return nothing(hindrance);
  const beta = model.estimate();
  if (typeof beta === 'string') return nothing(beta);
  const { alpha, se } = model.spread(beta);
  if (!model.isProper(alpha)) return nothing('improper correlation');
  const z = beta.slope / se;
  if (!Number.isFinite(z)) return nothing('not converged');
  const half = normalUpperQuantile((1 - level) / 2) * se;
  return Object.freeze({
    ...base,
    intercept: beta.intercept - beta.slope * model.centre,
    coefficient: beta.slope,
    se,
    z,
    p: 2 * normalUpperTail(Math.abs(z)),
    oddsRatio: finiteOrNull(Math.exp(beta.slope)),
    low: finiteOrNull(Math.exp(beta.slope - half)),
    high: finiteOrNull(Math.exp(beta.slope + half)),
    alpha: model.pairs > 0 ? alpha : null,
    reason: null,
  });
}
