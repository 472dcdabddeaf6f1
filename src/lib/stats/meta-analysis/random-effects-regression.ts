import { tQuantile, tUpperTail } from '../distributions.ts';
import { randomEffectsFit, type Studies } from './random-effects-fit.ts';
import { requireLevel } from '../require-number.ts';

export interface RandomEffectsRegression {
  readonly method: 'Random-effects regression on one covariate: REML, modified Hartung–Knapp';
  readonly n: number;
  readonly intercept: number;
  /** Change of the estimate per unit of the covariate. */
  readonly coefficient: number;
  readonly se: number;
  readonly df: number;
  readonly t: number;
  /** Two-sided. */
  readonly p: number;
  readonly low: number;
  readonly high: number;
  /** Variance between studies that the covariate leaves over. */
  readonly tau2: number;
}

/**
 * Whether the estimates of several studies go with a property of each ("meta-regression").
 *
 * y = β₀ + β₁x + between + within, by `randomEffectsFit`; ends β₁ ± t·se with df = k − 2.
 *
 * Source: G. Knapp, J. Hartung, Stat. Med. 22 (2003) 2693-2710.
 *
 * @param studies at least three, with covariates that are not all the same; else a RangeError
 */
export function randomEffectsRegression(studies: Required<Studies>, level = 0.95): RandomEffectsRegression {
  requireLevel(level);
  const fit = randomEffectsFit(studies);
  const [coefficient, se] = [fit.slope!, fit.slopeSe!];
  const half = tQuantile((1 + level) / 2, fit.df) * se;
  const t = coefficient / se;
  return Object.freeze({
    method: 'Random-effects regression on one covariate: REML, modified Hartung–Knapp',
    n: studies.estimate.length,
    intercept: fit.intercept,
    coefficient,
    se,
    df: fit.df,
    t,
    p: 2 * tUpperTail(Math.abs(t), fit.df),
    low: coefficient - half,
    high: coefficient + half,
    tau2: fit.tau2,
  });
}
