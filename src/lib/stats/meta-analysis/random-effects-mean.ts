import { tQuantile, tUpperTail } from '../distributions.ts';
import { randomEffectsFit, type Studies } from './random-effects-fit.ts';
import { requireLevel } from '../require-number.ts';

export interface RandomEffectsMean {
  readonly method: 'Random-effects mean: REML, modified Hartung–Knapp interval';
  readonly n: number;
  readonly estimate: number;
  readonly se: number;
  readonly df: number;
  /** Against 0. */
  readonly t: number;
  /** Two-sided. */
  readonly p: number;
  readonly low: number;
  readonly high: number;
  /** Where a further study's true value may lie; `null` with two studies. */
  readonly predictionLow: number | null;
  readonly predictionHigh: number | null;
  /** Variance between studies. */
  readonly tau2: number;
  /** Of each study, adding up to 1. */
  readonly weights: readonly number[];
}

/**
 * What several studies say together when each has a true value of its own: mean, interval, and where a further study may
 * lie.
 *
 * Mean and variance between studies by `randomEffectsFit`; ends μ ± t·se with df = k − 1, prediction interval
 * μ ± t·√(se² + τ²) with the same df.
 *
 * Source: as `randomEffectsFit`; prediction: J. P. T. Higgins, S. G. Thompson, D. J. Spiegelhalter, J. R. Stat. Soc. A 172
 * (2009) 137-159.
 *
 * @param studies at least two; else a RangeError
 */
export function randomEffectsMean(studies: Pick<Studies, 'estimate' | 'variance'>, level = 0.95): RandomEffectsMean {
  requireLevel(level);
  const { tau2, weights, intercept: estimate, interceptSe: se, df } = randomEffectsFit(studies);
  const quantile = tQuantile((1 + level) / 2, df);
  const t = estimate / se;
  const reach = quantile * Math.sqrt(se * se + tau2);
  const total = weights.reduce((sum, w) => sum + w, 0);
  return Object.freeze({
    method: 'Random-effects mean: REML, modified Hartung–Knapp interval',
    n: weights.length,
    estimate,
    se,
    df,
    t,
    p: 2 * tUpperTail(Math.abs(t), df),
    low: estimate - quantile * se,
    high: estimate + quantile * se,
    predictionLow: weights.length > 2 ? estimate - reach : null,
    predictionHigh: weights.length > 2 ? estimate + reach : null,
    tau2,
    weights: Array.from(weights, (w) => w / total),
  });
}
