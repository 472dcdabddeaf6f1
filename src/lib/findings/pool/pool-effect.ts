import { cochranHeterogeneity } from '../../stats/meta-analysis/cochran-heterogeneity.ts';
import { tQuantile } from '../../stats/distributions.ts';
import { heterogeneityShare } from '../../stats/meta-analysis/heterogeneity-share.ts';
import { qProfileInterval } from '../../stats/meta-analysis/q-profile-interval.ts';
import { randomEffectsFit } from '../../stats/meta-analysis/random-effects-fit.ts';
import { randomEffectsMean } from '../../stats/meta-analysis/random-effects-mean.ts';
import { randomEffectsRegression } from '../../stats/meta-analysis/random-effects-regression.ts';
import { LEAST_FOR_REGRESSION } from '../which-test.ts';
import type { LeftOneOut, MetaRegression, PooledEffect, PooledMean } from './pooled.ts';

const KM_PER_UNIT = 10;

/** An effect of one race. */
export interface RaceEffect {
  readonly race: string;
  readonly estimate: number;
  readonly variance: number;
  /** Late less early km, for the regression; not there where none is asked for. */
  readonly km?: number;
}

const NO_MEAN: PooledMean = {
  ...{ estimate: null, se: null, df: null, t: null, p: null },
  ...{ low: null, high: null, predictionLow: null, predictionHigh: null },
};

/**
 * One effect over races: mean, heterogeneity, each race's weight, and the mean without each race.
 *
 * @param of the races that have the effect, in the order given
 * @param leftOut races that have not
 * @param tested whether the mean is tested against 0
 */
export function poolEffect(
  of: readonly RaceEffect[],
  leftOut: number,
  level: number,
  tested: boolean,
): PooledEffect<PooledMean> {
  const races = of.length;
  const studies = { estimate: of.map(({ estimate }) => estimate), variance: of.map(({ variance }) => variance) };
  const rows = (weights: readonly number[]) =>
    of.map(({ race, estimate, variance }, i) => ({ race, estimate, se: Math.sqrt(variance), weight: weights[i]! }));
  if (races < 2) {
    return {
      ...{ races, leftOut, pooled: NO_MEAN, tau2: null, tau2Low: null, tau2High: null, i2: null },
      heterogeneity: { statistic: null, df: null, p: null },
      ...{ rows: rows([1]), leaveOneOut: [], metaRegression: null },
    };
  }
  const mean = randomEffectsMean(studies, level);
  const between = qProfileInterval(studies, level);
  const { statistic, df, p } = cochranHeterogeneity(studies);
  const { estimate, se, low, high, predictionLow, predictionHigh } = mean;
  return {
    races,
    leftOut,
    pooled: {
      ...{ estimate, se, df: mean.df, t: tested ? mean.t : null, p: tested ? mean.p : null },
      ...{ low, high, predictionLow, predictionHigh },
    },
    tau2: mean.tau2,
    tau2Low: between.low,
    tau2High: between.high,
    i2: heterogeneityShare(mean.tau2, studies.variance),
    heterogeneity: { statistic, df, p },
    rows: rows(mean.weights),
    leaveOneOut: races < 3 ? [] : withoutEach(of, level),
    metaRegression: regression(of, level),
  };
}

/** The same model without each race in turn: interval and heterogeneity, no test. */
function withoutEach(of: readonly RaceEffect[], level: number): LeftOneOut[] {
  const quantile = tQuantile((1 + level) / 2, of.length - 2);
  return of.map(({ race }, left) => {
    const others = of.filter((_, i) => i !== left);
    const variance = others.map((other) => other.variance);
    const { intercept, interceptSe, tau2 } = randomEffectsFit({
      estimate: others.map((other) => other.estimate),
      variance,
    });
    const half = quantile * interceptSe;
    const i2 = heterogeneityShare(tau2, variance);
    return { race, estimate: intercept, low: intercept - half, high: intercept + half, tau2, i2 };
  });
}

function regression(of: readonly RaceEffect[], level: number): MetaRegression | null {
  const km = of.map((race) => race.km);
  if (of.length < LEAST_FOR_REGRESSION || !km.every((apart) => apart !== undefined)) return null;
  if (km.every((apart) => apart === km[0])) return null;
  const { n, intercept, coefficient, se, df, t, p, low, high, tau2 } = randomEffectsRegression(
    {
      estimate: of.map(({ estimate }) => estimate),
      variance: of.map(({ variance }) => variance),
      covariate: km.map((apart) => apart / KM_PER_UNIT),
    },
    level,
  );
  return { races: n, intercept, coefficient, se, df, t, p, low, high, tau2 };
}
