import { finiteOrNull } from '../../stats/finite-or-null.ts';
import { logitOfShare } from '../../stats/proportions/logit-of-share.ts';
import { pairedDifferenceVariance } from '../../stats/paired/paired-difference-variance.ts';
import { poolEffect, type RaceEffect } from './pool-effect.ts';
import { poolNotes } from './notes.ts';
import type { Pooled, PooledEffect, PooledMean, PooledRatio, PooledShare } from './pooled.ts';
import type { RaceCounts } from './race-counts.ts';
import type { RunnersFound } from './runners-over-races.ts';

/**
 * Several races as one: four effects over all races that have them, by a random-effects model. The same whatever else the
 * findings say; 200 races take some milliseconds.
 *
 * @param races at least one, no name twice
 * @param found people over races, `null` where the races are findings alone
 * @param level of all intervals, above 0 and below 1
 */
export function poolRaces(races: readonly RaceCounts[], found: RunnersFound | null, level = 0.95): Pooled {
  const effects = (of: (race: RaceCounts) => Omit<RaceEffect, 'race'> | null): RaceEffect[] =>
    races.flatMap((race) => {
      const effect = of(race);
      return effect ? [{ race: race.race, ...effect }] : [];
    });
  const pooled = (of: readonly RaceEffect[], tested: boolean) =>
    poolEffect(of, races.length - of.length, level, tested);
  const figures = {
    races: races.map(({ trend: _trend, commonObservers: _observers, identity: _identity, ...race }) => race),
    share: backToShare(pooled(effects(shareOf), false)),
    difference: pooled(effects(differenceOf), true),
    oddsRatio: backToRatio(pooled(effects(oddsRatioOf), true)),
    trend: backToRatio(pooled(effects(trendOf), true)),
    runners: found?.runners ?? null,
  };
  return { ...figures, notes: poolNotes(figures, races, found?.trendReason ?? null) };
}

type EffectOf = (race: RaceCounts) => Omit<RaceEffect, 'race'> | null;

const logit = (x: number, n: number) => {
  const { estimate, variance } = logitOfShare(x, n);
  return { estimate, variance };
};

const shareOf: EffectOf = ({ classified, rearfoot }) => (classified > 0 ? logit(rearfoot, classified) : null);

const apart = ({ earlyKm, lateKm }: RaceCounts): { km?: number } => (lateKm === null ? {} : { km: lateKm - earlyKm });

const differenceOf: EffectOf = (race) => {
  const { paired, gained, lost } = race;
  if (paired === null || gained === null || lost === null || paired === 0) return null;
  const variance = pairedDifferenceVariance(gained, lost, paired);
  return { estimate: (gained - lost) / paired, variance, ...apart(race) };
};

const oddsRatioOf: EffectOf = (race) => {
  const { gained, lost } = race;
  if (gained === null || lost === null || gained + lost === 0) return null;
  return { ...logit(gained, gained + lost), ...apart(race) };
};

const trendOf: EffectOf = ({ trend }) => trend && { estimate: trend.coefficient, variance: trend.se ** 2 };

function backToShare(effect: PooledEffect<PooledMean>): PooledEffect<PooledShare> {
  const { pooled } = effect;
  const share = (logOdds: number | null): number | null => (logOdds === null ? null : 1 / (1 + Math.exp(-logOdds)));
  return {
    ...effect,
    pooled: {
      ...pooled,
      share: share(pooled.estimate),
      shareLow: share(pooled.low),
      shareHigh: share(pooled.high),
      sharePredictionLow: share(pooled.predictionLow),
      sharePredictionHigh: share(pooled.predictionHigh),
    },
  };
}

function backToRatio(effect: PooledEffect<PooledMean>): PooledEffect<PooledRatio> {
  const { pooled } = effect;
  const ratio = (logRatio: number | null): number | null =>
    logRatio === null ? null : finiteOrNull(Math.exp(logRatio));
  return {
    ...effect,
    pooled: {
      ...pooled,
      oddsRatio: ratio(pooled.estimate),
      oddsRatioLow: ratio(pooled.low),
      oddsRatioHigh: ratio(pooled.high),
      oddsRatioPredictionLow: ratio(pooled.predictionLow),
      oddsRatioPredictionHigh: ratio(pooled.predictionHigh),
    },
  };
}
