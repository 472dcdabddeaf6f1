import { fallingRoot } from '../falling-root.ts';
import { requireNumber } from '../require-number.ts';

/** Estimates from several studies, in any order. */
export interface Studies {
  /** y, one finite estimate a study. */
  readonly estimate: readonly number[];
  /** v, its variance, above 0. */
  readonly variance: readonly number[];
  /** x, one a study and not all the same: fits a slope on it besides the intercept. */
  readonly covariate?: readonly number[] | undefined;
}

export interface RandomEffectsFit {
  /** Variance between studies. */
  readonly tau2: number;
  /** w = 1/(v + τ²). */
  readonly weights: Readonly<Float64Array>;
  readonly intercept: number;
  /** `null` without a covariate. */
  readonly slope: number | null;
  /** Residual degrees of freedom: studies less coefficients. */
  readonly df: number;
  /** Modified Hartung–Knapp standard errors; `null` without a covariate for the slope. */
  readonly interceptSe: number;
  readonly slopeSe: number | null;
}

interface WeightedFit {
  readonly weights: Float64Array;
  readonly residuals: Float64Array;
  /** Centre of the covariate under these weights; with it the two coefficients do not covary. */
  readonly centre: number;
  readonly mean: number;
  readonly slope: number;
  readonly sumWeights: number;
  /** Σ w(x − centre)², 0 without a covariate. */
  readonly spread: number;
}

/** Throws a RangeError for studies that are none. */
export function requireStudies({ estimate, variance, covariate }: Studies, least: number): void {
  if (estimate.length < least) {
    throw new RangeError(`${String(estimate.length)} studies; expected at least ${String(least)}`);
  }
  if (variance.length !== estimate.length || (covariate && covariate.length !== estimate.length)) {
    throw new RangeError('estimate, variance and covariate differ in length');
  }
  for (const y of estimate) requireNumber(y, 'estimate', -Number.MAX_VALUE, Number.MAX_VALUE);
  for (const v of variance) requireNumber(v, 'variance', Number.MIN_VALUE, Number.MAX_VALUE);
  for (const x of covariate ?? []) requireNumber(x, 'covariate', -Number.MAX_VALUE, Number.MAX_VALUE);
}

/** Weighted least squares with the weights 1/(v + τ²). */
export function weightedFit({ estimate, variance, covariate }: Studies, tau2: number): WeightedFit {
  const k = estimate.length;
  const weights = new Float64Array(k);
  let [sumWeights, sumY, sumX] = [0, 0, 0];
  for (let i = 0; i < k; i++) {
    const w = 1 / (variance[i]! + tau2);
    weights[i] = w;
    sumWeights += w;
    sumY += w * estimate[i]!;
    if (covariate) sumX += w * covariate[i]!;
  }
  const mean = sumY / sumWeights;
  const centre = sumX / sumWeights;
  let [spread, together] = [0, 0];
  for (let i = 0; covariate && i < k; i++) {
    const off = covariate[i]! - centre;
    spread += weights[i]! * off * off;
    together += weights[i]! * off * (estimate[i]! - mean);
  }
  const slope = spread > 0 ? together / spread : 0;
  const residuals = new Float64Array(k);
  for (let i = 0; i < k; i++) {
    residuals[i] = estimate[i]! - mean - (covariate ? slope * (covariate[i]! - centre) : 0);
  }
  return { weights, residuals, centre, mean, slope, sumWeights, spread };
}

/** Σ w r², the weighted sum of squares that a fit leaves over. */
export function weightedSquares({ weights, residuals }: Pick<WeightedFit, 'weights' | 'residuals'>): number {
  let sum = 0;
  for (let i = 0; i < weights.length; i++) sum += weights[i]! * residuals[i]! ** 2;
  return sum;
}

/**
 * Twice the derivative of the restricted log-likelihood as a function of τ²: Σ w²r² − Σw + tr((X'WX)⁻¹X'W²X). It is asked
 * some twenty times for each fit, so its arrays are made once.
 */
function restrictedSlope({ estimate, variance, covariate }: Studies): (tau2: number) => number {
  const y = new Float64Array(estimate);
  const v = new Float64Array(variance);
  const weights = new Float64Array(y.length);
  if (covariate) return (tau2) => slopeWithCovariate({ estimate, variance, covariate }, tau2);
  return (tau2) => {
    let [sumWeights, sumY] = [0, 0];
    for (let i = 0; i < y.length; i++) {
      const w = 1 / (v[i]! + tau2);
      weights[i] = w;
      sumWeights += w;
      sumY += w * y[i]!;
    }
    const mean = sumY / sumWeights;
    let [squares, sumSquared] = [0, 0];
    for (let i = 0; i < y.length; i++) {
      const w = weights[i]!;
      const wr = w * (y[i]! - mean);
      squares += wr * wr;
      sumSquared += w * w;
    }
    return squares - sumWeights + sumSquared / sumWeights;
  };
}

function slopeWithCovariate(studies: Required<Studies>, tau2: number): number {
  const { weights, residuals, centre, sumWeights, spread } = weightedFit(studies, tau2);
  let [squares, sumSquared, spreadSquared] = [0, 0, 0];
  for (let i = 0; i < weights.length; i++) {
    const w2 = weights[i]! ** 2;
    squares += w2 * residuals[i]! ** 2;
    sumSquared += w2;
    spreadSquared += w2 * (studies.covariate![i]! - centre) ** 2;
  }
  return squares - sumWeights + sumSquared / sumWeights + (spread > 0 ? spreadSquared / spread : 0);
}

/**
 * Random-effects model of several studies, or the regression on a covariate of each: the variance between them by
 * restricted maximum likelihood (REML), standard errors by the modified method of Hartung and Knapp.
 *
 * τ² is the root of the derivative of the restricted likelihood, 0 where that is not above 0 at 0, found by
 * `fallingRoot`. The coefficients are the weighted least squares estimates, their variances those of the model times
 * max(1, Σ w r²/df): without the 1 the interval of few studies that happen to agree would be too narrow.
 *
 * Source: REML as in W. Viechtbauer, J. Educ. Behav. Stat. 30 (2005) 261-293; G. Knapp, J. Hartung, Stat. Med. 22 (2003)
 * 2693-2710; the factor's floor: C. Röver, G. Knapp, T. Friede, BMC Med. Res. Methodol. 15:99 (2015).
 *
 * @param studies at least two, with a covariate at least three and its values not all the same; else a RangeError
 *
 * @example
 * randomEffectsFit({ estimate: [0, 1], variance: [0.1, 0.1] }); // { tau2: 0.4, intercept: 0.5, interceptSe: 0.5, … }
 */
export function randomEffectsFit(studies: Studies): RandomEffectsFit {
  const { estimate, variance, covariate } = studies;
  requireStudies(studies, covariate ? 3 : 2);
  if (covariate?.every((x) => x === covariate[0])) throw new RangeError('all covariates are the same');
  const df = estimate.length - (covariate ? 2 : 1);
  const tau2 = fallingRoot(
    restrictedSlope(studies),
    variance.reduce((most, v) => Math.max(most, v), 0),
  );
  const fit = weightedFit(studies, tau2);
  const factor = Math.max(1, weightedSquares(fit) / df);
  const ofCentre = fit.spread > 0 ? fit.centre ** 2 / fit.spread : 0;
  return Object.freeze({
    tau2,
    weights: fit.weights,
    intercept: fit.mean - fit.slope * fit.centre,
    slope: covariate ? fit.slope : null,
    df,
    interceptSe: Math.sqrt(factor * (1 / fit.sumWeights + ofCentre)),
    slopeSe: covariate ? Math.sqrt(factor / fit.spread) : null,
  });
}
