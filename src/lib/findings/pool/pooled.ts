import type { RunnerClass } from '../../records/foot.ts';
import type { TestResult } from '../test-result.ts';
import type { Trend } from '../sections/shift/figures.ts';

/**
 * What several races say together, exactly as `kerbside pool --json` prints it. `null` stands for a figure that cannot be
 * computed, and a sentence in `notes` says why.
 */
export interface Pooled {
  /** In the order given. */
  races: PooledRace[];
  /** Rearfoot share at the early checkpoint, as log odds. */
  share: PooledEffect<PooledShare>;
  /** Late less early share of the paired runners. */
  difference: PooledEffect<PooledMean>;
  /** gained ÷ lost, as its logarithm. */
  oddsRatio: PooledEffect<PooledRatio>;
  /** Change of the log odds of rearfoot per 10 km within a race. */
  trend: PooledEffect<PooledRatio>;
  /** People over races; `null` when races were given as findings. */
  runners: RunnersOverRaces | null;
  /** Sentences a reader needs. */
  notes: string[];
}

export interface PooledRace {
  race: string;
  early: string;
  earlyKm: number;
  late: string | null;
  lateKm: number | null;
  /** At `early`. */
  classified: number;
  rearfoot: number;
  /** Runners classified at both; with the next two `null` where there is one checkpoint. */
  paired: number | null;
  gained: number | null;
  lost: number | null;
}

export interface PooledMean {
  estimate: number | null;
  se: number | null;
  df: number | null;
  /** Against 0; `null` for a share. */
  t: number | null;
  p: number | null;
  low: number | null;
  high: number | null;
  /** Where a further race may lie. */
  predictionLow: number | null;
  predictionHigh: number | null;
}

/** The mean taken back from log odds to a share: that of the middle race. */
export interface PooledShare extends PooledMean {
  share: number | null;
  shareLow: number | null;
  shareHigh: number | null;
  sharePredictionLow: number | null;
  sharePredictionHigh: number | null;
}

export interface PooledRatio extends PooledMean {
  oddsRatio: number | null;
  oddsRatioLow: number | null;
  oddsRatioHigh: number | null;
  oddsRatioPredictionLow: number | null;
  oddsRatioPredictionHigh: number | null;
}

export interface EffectRow {
  race: string;
  estimate: number;
  se: number;
  /** Of the pooled mean, adding up to 1. */
  weight: number;
}

export interface LeftOneOut {
  /** The race that is left out. */
  race: string;
  estimate: number;
  low: number;
  high: number;
  tau2: number;
  i2: number;
}

export interface MetaRegression {
  races: number;
  intercept: number;
  /** Per 10 km between the checkpoints. */
  coefficient: number;
  se: number;
  df: number;
  t: number;
  p: number;
  low: number;
  high: number;
  tau2: number;
}

export interface PooledEffect<Mean extends PooledMean> {
  /** Races that have the effect, and races that have not. */
  races: number;
  leftOut: number;
  pooled: Mean;
  /** Variance between races, with its interval. */
  tau2: number | null;
  tau2Low: number | null;
  tau2High: number | null;
  /** Share of the variance that is between races. */
  i2: number | null;
  heterogeneity: TestResult;
  rows: EffectRow[];
  leaveOneOut: LeftOneOut[];
  metaRegression: MetaRegression | null;
}

export interface RunnerHistory {
  runner: string;
  /** Races in which the person was sighted. */
  races: number;
  /** Checkpoints by runner class, over all races. */
  classes: Record<RunnerClass, number>;
  unclassified: number;
  disputed: number;
  walking: number;
  /** Early against late of each race where classified at both. */
  pairs: { stayedRearfoot: number; gained: number; lost: number; stayedOther: number };
}

export interface RunnersOverRaces {
  /** Codes of sighted bibs. */
  coded: number;
  /** Codes classified in two races or more. */
  linked: number;
  trend: Trend;
  history: RunnerHistory[];
}
