import { requireCount, requireNumber } from '../require-number.ts';
import type { ClusteredOutcomes, NoGeeEstimate } from './exchangeable-gee.ts';

const STEP = 1e-10;
/** How far from singular the working correlation must be. */
const PROPER = 1e-9;
const MOST_STEPS = 200;

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
 * The estimating equations of `exchangeableGee`, which says them, over its observations.
 *
 * The observations stand with covariates replaced by the index of their value: few values occur (places along a course), and
 * everything that depends on the covariate alone is then computed once for each.
 */
export class ClusteredModel {
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
