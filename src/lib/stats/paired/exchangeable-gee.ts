import { normalUpperQuantile, normalUpperTail } from '../distributions.ts';
import { finiteOrNull } from '../finite-or-null.ts';
import { requireCount, requireLevel, requireNumber } from '../require-number.ts';

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

const STEP = 1e-10;
/** How far from singular the working correlation must be. */
const PROPER = 1e-9;
const MOST_STEPS = 200;

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

interface Beta {
  readonly intercept: number;
  readonly slope: number;
}

/** Sums over clusters at one β: bread, score, and the middle of the sandwich, each a symmetric 2 × 2 or a pair. */
interface Sums {
  readonly alpha: number;
  readonly bread: readonly [number, number, number];
  readonly score: readonly [number, number];
  readonly filling: readonly [number, number, number];
}

/**
 * The observations, with covariates replaced by the index of their value: few values occur (places along a course), and
 * everything that depends on the covariate alone is then computed once for each.
 */
class ClusteredModel {
  readonly observations: number;
  readonly clusters: number;
  /** Pairs of observations within clusters. */
  readonly pairs: number;
  /** Mean of the covariate, taken off for the sake of digits. */
  readonly centre: number;
  readonly #values: Float64Array;
  readonly #valueOf: Int32Array;
  readonly #outcome: Uint8Array;
  readonly #cluster: Int32Array;
  readonly #sizes: Float64Array;
  /** How many clusters each one stands for. */
  readonly #alike: Float64Array;
  // Sums of each cluster, filled anew at every β: of r, s, s·x, s·r and s·r·x, with s = √(μ(1 − μ)), so that s·r = y − μ.
  readonly #residuals: Float64Array;
  readonly #roots: Float64Array;
  readonly #rootsX: Float64Array;
  readonly #scores: Float64Array;
  readonly #scoresX: Float64Array;

  constructor({ outcome, covariate, cluster, clusterCount, alike }: ClusteredOutcomes) {
    const n = outcome.length;
    if (covariate.length !== n || cluster.length !== n) {
      throw new RangeError('outcome, covariate and cluster differ in length');
    }
    this.#alike = alikeCounts(alike, requireCount(clusterCount, 'clusterCount'));
    this.#outcome = new Uint8Array(n);
    this.#cluster = new Int32Array(n);
    this.#valueOf = new Int32Array(n);
    this.#sizes = new Float64Array(clusterCount);
    const indexOf = new Map<number, number>();
    let total = 0;
    let observations = 0;
    for (let i = 0; i < n; i++) {
      const y = outcome[i]!;
      const x = requireNumber(covariate[i]!, 'covariate', -Number.MAX_VALUE, Number.MAX_VALUE);
      const at = cluster[i]!;
      if (y !== 0 && y !== 1) throw new RangeError(`outcome ${String(y)}; expected 0 or 1`);
      if (!(at >= 0 && at < clusterCount)) throw new RangeError(`cluster ${String(at)} is out of range`);
      let index = indexOf.get(x);
      if (index === undefined) {
        index = indexOf.size;
        indexOf.set(x, index);
      }
      this.#outcome[i] = y;
      this.#cluster[i] = at;
      this.#valueOf[i] = index;
      this.#sizes[at]!++;
      total += x * this.#alike[at]!;
      observations += this.#alike[at]!;
    }
    this.observations = observations;
    this.centre = n === 0 ? 0 : total / observations;
    this.#values = Float64Array.from(indexOf.keys(), (x) => x - this.centre);
    this.clusters = this.#sizes.reduce((sum, size, c) => sum + (size > 0 ? this.#alike[c]! : 0), 0);
    this.pairs = this.#sizes.reduce((sum, size, c) => sum + (this.#alike[c]! * size * (size - 1)) / 2, 0);
    this.#residuals = new Float64Array(clusterCount);
    this.#roots = new Float64Array(clusterCount);
    this.#rootsX = new Float64Array(clusterCount);
    this.#scores = new Float64Array(clusterCount);
    this.#scoresX = new Float64Array(clusterCount);
  }

  /** What makes a finite estimate impossible from the start. */
  hindrance(): NoGeeEstimate | null {
    const least = [Infinity, Infinity];
    const most = [-Infinity, -Infinity];
    for (let i = 0; i < this.#outcome.length; i++) {
      const y = this.#outcome[i]!;
      const x = this.#values[this.#valueOf[i]!]!;
      least[y] = Math.min(least[y]!, x);
      most[y] = Math.max(most[y]!, x);
    }
    if (least[0] === Infinity || least[1] === Infinity) return 'one outcome';
    if (this.#values.length < 2) return 'one covariate value';
    return most[0]! <= least[1]! || most[1]! <= least[0]! ? 'separated' : null;
  }

  /** β of the estimating equations, from the independence estimate on, or why the steps do not lead to one. */
  estimate(): Beta | NoGeeEstimate {
    const independent = this.#solve({ intercept: 0, slope: 0 }, false);
    return typeof independent === 'string' || this.pairs === 0 ? independent : this.#solve(independent, true);
  }

  /** Whether a matrix with 1 on the diagonal and `alpha` elsewhere is a correlation in clusters of every size here. */
  isProper(alpha: number): boolean {
    const greatest = this.#sizes.reduce((most, size) => Math.max(most, size), 0);
    return alpha < 1 - PROPER && 1 + (greatest - 1) * alpha > PROPER;
  }

  spread(beta: Beta): { alpha: number; se: number } {
    const { alpha, bread, filling } = this.#sums(beta, this.pairs > 0);
    const [a, b, c] = bread;
    const [f, g, h] = filling;
    // The lower right entry of B⁻¹·F·B⁻¹.
    const determinant = a * c - b * b;
    return { alpha, se: Math.sqrt(Math.max(0, b * b * f - 2 * a * b * g + a * a * h)) / Math.abs(determinant) };
  }

  #solve(start: Beta, correlated: boolean): Beta | NoGeeEstimate {
    let beta = start;
    let proper = true;
    for (let round = 0; round < MOST_STEPS; round++) {
      const { alpha, bread, score } = this.#sums(beta, correlated);
      proper = this.isProper(alpha);
      const [a, b, c] = bread;
      const determinant = a * c - b * b;
      const step = {
        intercept: (c * score[0] - b * score[1]) / determinant,
        slope: (a * score[1] - b * score[0]) / determinant,
      };
      if (!Number.isFinite(step.intercept) || !Number.isFinite(step.slope)) break;
      beta = { intercept: beta.intercept + step.intercept, slope: beta.slope + step.slope };
      const inGivenUnits = Math.abs(step.intercept - step.slope * this.centre);
      if (Math.max(inGivenUnits, Math.abs(step.slope)) < STEP) return beta;
    }
    return proper ? 'not converged' : 'improper correlation';
  }

  #sums({ intercept, slope }: Beta, correlated: boolean): Sums {
    const count = this.#values.length;
    // For each covariate value: √(μ(1 − μ)) and the residual of each outcome.
    const root = new Float64Array(count);
    const residual = new Float64Array(2 * count);
    for (let v = 0; v < count; v++) {
      const half = Math.exp((intercept + slope * this.#values[v]!) / 2);
      root[v] = 1 / (half + 1 / half);
      residual[2 * v] = -half;
      residual[2 * v + 1] = 1 / half;
    }
    this.#residuals.fill(0);
    this.#roots.fill(0);
    this.#rootsX.fill(0);
    this.#scores.fill(0);
    this.#scoresX.fill(0);
    let squares = 0;
    let z00 = 0;
    let z01 = 0;
    let z11 = 0;
    for (let i = 0; i < this.#outcome.length; i++) {
      const v = this.#valueOf[i]!;
      const at = this.#cluster[i]!;
      const times = this.#alike[at]!;
      const r = residual[2 * v + this.#outcome[i]!]!;
      const s = root[v]!;
      const x = this.#values[v]!;
      const sx = s * x;
      squares += times * r * r;
      this.#residuals[at]! += r;
      this.#roots[at]! += s;
      this.#rootsX[at]! += sx;
      this.#scores[at]! += s * r;
      this.#scoresX[at]! += sx * r;
      z00 += times * s * s;
      z01 += times * s * sx;
      z11 += times * sx * sx;
    }
    const alpha = correlated ? this.#correlation(squares) : 0;
    return { alpha, ...this.#weighted(alpha, z00, z01, z11) };
  }

  #correlation(squares: number): number {
    const phi = squares / this.observations;
    const products = (this.#residuals.reduce((sum, r, c) => sum + this.#alike[c]! * r * r, 0) - squares) / 2;
    return products / (phi * this.pairs);
  }

  /** Bread, score and filling from the sums of the clusters, with V⁻¹ = (I − α/(1 + (m − 1)α)·J)/(1 − α). */
  #weighted(alpha: number, z00: number, z01: number, z11: number): Omit<Sums, 'alpha'> {
    let [b00, b01, b11] = [z00, z01, z11];
    let [s0, s1, f00, f01, f11] = [0, 0, 0, 0, 0];
    for (let c = 0; c < this.#sizes.length; c++) {
      const size = this.#sizes[c]!;
      if (size === 0) continue;
      const times = this.#alike[c]!;
      const shrink = alpha / (1 + (size - 1) * alpha);
      const t0 = this.#roots[c]!;
      const t1 = this.#rootsX[c]!;
      b00 -= times * shrink * t0 * t0;
      b01 -= times * shrink * t0 * t1;
      b11 -= times * shrink * t1 * t1;
      const u0 = this.#scores[c]! - shrink * this.#residuals[c]! * t0;
      const u1 = this.#scoresX[c]! - shrink * this.#residuals[c]! * t1;
      s0 += times * u0;
      s1 += times * u1;
      f00 += times * u0 * u0;
      f01 += times * u0 * u1;
      f11 += times * u1 * u1;
    }
    const k = 1 / (1 - alpha);
    return {
      bread: [b00 * k, b01 * k, b11 * k],
      score: [s0 * k, s1 * k],
      filling: [f00 * k * k, f01 * k * k, f11 * k * k],
    };
  }
}

function alikeCounts(alike: ArrayLike<number> | undefined, clusterCount: number): Float64Array {
  if (alike === undefined) return new Float64Array(clusterCount).fill(1);
  if (alike.length !== clusterCount) {
    throw new RangeError(`${String(alike.length)} counts for ${String(clusterCount)} clusters`);
  }
  return Float64Array.from(alike, (count) => requireNumber(requireCount(count, 'alike'), 'alike', 1));
}
