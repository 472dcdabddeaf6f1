import type { FootClass, RunnerClass } from '../records/foot.ts';
import type { Corrected } from './sections/corrected/corrected.ts';
import type { CheckpointGait, GaitChange } from './sections/gait/gait.ts';
import type { LiveAgainstClip } from './sections/live-against-clip/live-against-clip.ts';

/**
 * The findings of one race, exactly as `kerbside analyse --json` prints them. Proportions are 0 to 1, times are seconds,
 * distances are km, p-values are two-sided, intervals are at the level asked for. `null` stands for a figure that cannot
 * be computed, and a sentence in `notes` says why.
 */
export interface Findings {
  inputs: Inputs;
  /** One entry for each checkpoint, by km. */
  shares: CheckpointShares[];
  /** `null` with a single checkpoint. */
  shift: Shift | null;
  /** `null` without results. */
  finish: FinishFigures | null;
  agreement: Agreement;
  /** `null` without results. */
  coverage: Coverage | null;
  /** `null` when nobody was validated on clip and no practice set was given. */
  corrected: Corrected | null;
  /** One entry for each checkpoint, by km; `null` without marks. */
  gait: CheckpointGait[] | null;
  /** `null` without marks and with a single checkpoint. */
  gaitChange: GaitChange | null;
  /** `null` without live sightings or without sightings from clips. */
  liveAgainstClip: LiveAgainstClip | null;
  /** Sentences a reader needs: small expected counts, overlap, why a figure is `null`. */
  notes: string[];
}

export interface Inputs {
  /** Data rows read; a record met twice counts twice. */
  sightings: number;
  /** Distinct bibs sighted. */
  runners: number;
  /** Rows of the results. */
  results: number | null;
  /** Sighted bibs that are in the results. */
  matched: number | null;
  /** Sighted bibs that are not. */
  unmatchedBibs: number | null;
  excluded: {
    noBib: number;
    /** Earlier entries of one observer for one bib at one checkpoint by one method. */
    repeats: number;
    /** The same record met again with the same content. */
    sameRecord: number;
    /** Let pass by the sampling rule, not looked at: no attempt to class. */
    passed: number;
  };
}

/** A count with its share of the classified runners and the Wilson score interval of that share. */
export interface ClassShare {
  count: number;
  share: number | null;
  low: number | null;
  high: number | null;
}

/** What the running bibs' foot of one side was seen to be. */
export type FootCounts = Record<FootClass | 'unseen' | 'disputed', number>;

export interface CheckpointShares {
  checkpoint: string;
  km: number;
  /** The denominator of the shares. */
  classified: number;
  unclassified: number;
  disputed: number;
  walking: number;
  classes: Record<RunnerClass, ClassShare>;
  feet: { left: FootCounts; right: FootCounts };
}

/** A chi-square or another test with one statistic; all three are `null` together. */
export interface TestResult {
  statistic: number | null;
  df: number | null;
  p: number | null;
}

export interface McNemar extends TestResult {
  exactP: number | null;
  midP: number | null;
}

/** Rearfoot against all other classes in the paired runners. */
export interface RearfootChange {
  early: number | null;
  late: number | null;
  /** late − early */
  difference: number | null;
  low: number | null;
  high: number | null;
  /** Runners who turned to rearfoot. */
  gained: number;
  /** Runners who left rearfoot. */
  lost: number;
  /** gained ÷ lost */
  oddsRatio: number | null;
  oddsRatioLow: number | null;
  oddsRatioHigh: number | null;
  mcnemar: McNemar;
}

/** The change among paired runners whom one and the same observer saw early and late, live or by clip. */
export interface SameObserverChange extends RearfootChange {
  pairs: number;
}

/** All classified runners of both checkpoints as two separate samples. */
export interface IndependentSamples extends TestResult {
  /** 2×4: early, late by class. */
  table: number[][];
  minExpected: number | null;
  cramersV: number | null;
  exactP: number | null;
  /** Runners in both samples ÷ runners in either. */
  overlap: number | null;
}

/** Whether the runners lost between the checkpoints had other classes early than those who came through. */
export interface Attrition extends TestResult {
  seenLate: number;
  notSeenLate: number;
  /** 2×4: seen late, not seen late by class early. */
  table: number[][];
}

export interface CochranQ extends TestResult {
  runners: number;
  checkpoints: number;
}

/** Logistic model of rearfoot on distance, runners as clusters. */
export interface Trend {
  clusters: number;
  observations: number;
  intercept: number | null;
  /** Log odds per 10 km. */
  coefficient: number | null;
  se: number | null;
  z: number | null;
  p: number | null;
  /** Per 10 km; `low` and `high` are its interval. */
  oddsRatio: number | null;
  low: number | null;
  high: number | null;
  /** Working correlation between two sightings of one runner. */
  alpha: number | null;
}

export interface Shift {
  early: string;
  late: string;
  /** Observers with a sighting at both checkpoints; with 0 the difference may be the observers'. */
  commonObservers: number;
  /** Runners classified at both. */
  paired: number;
  /** 4×4 counts of the paired runners: rows early, columns late. */
  transitions: number[][];
  rearfoot: RearfootChange;
  /** The same over the paired runners of whom one and the same observer saw a foot at both. */
  sameObserver: SameObserverChange;
  marginalHomogeneity: TestResult;
  symmetry: TestResult;
  independent: IndependentSamples;
  attrition: Attrition;
  /** `null` with fewer than three checkpoints. */
  cochranQ: CochranQ | null;
  trend: Trend;
}

/** Finish times of one class, in seconds. */
export interface FinishGroup {
  n: number;
  median: number | null;
  q1: number | null;
  q3: number | null;
  mean: number | null;
}

export interface KruskalWallis extends TestResult {
  epsilonSquared: number | null;
}

export interface PairwiseComparison {
  a: RunnerClass;
  b: RunnerClass;
  /** Above 0 when `a` has the greater mean rank, that is, is slower. */
  z: number | null;
  p: number | null;
  adjustedP: number | null;
}

export interface RearfootAgainstRest {
  /** Runners in the rearfoot group. */
  rearfoot: number;
  /** Runners in the other classes. */
  rest: number;
  /** U of the rearfoot group: pairs in which the rearfoot runner was slower, ties half. */
  statistic: number | null;
  p: number | null;
  cliffsDelta: number | null;
}

/** Whether the rearfoot share rises or falls from the fastest quarter to the slowest. */
export interface TrendInQuarters extends TestResult {
  /** `null` too with more than 300 of the rarer outcome. */
  exactP: number | null;
}

export interface FinishQuarters extends TestResult {
  /** The three quartiles of the matched finishers' times in seconds. */
  cuts: number[] | null;
  /** 4×2: quarter, fastest first, by rearfoot and other. */
  table: number[][];
  trend: TrendInQuarters;
}

export interface ModelTerm {
  /** `(intercept)`, a class, `age` or `sex:X`. */
  term: string;
  /** Change of the natural logarithm of the finish time in seconds. */
  estimate: number;
  se: number;
  t: number | null;
  p: number | null;
  low: number;
  high: number;
}

export interface FinishModel {
  n: number;
  df: number;
  rSquared: number | null;
  terms: ModelTerm[];
}

export interface FinishFigures {
  /** The checkpoint whose classes are set against the finish times. */
  by: string;
  /** Runners classified there who have a finish. */
  matched: number;
  groups: Record<RunnerClass, FinishGroup>;
  kruskalWallis: KruskalWallis;
  pairwise: PairwiseComparison[];
  rearfootAgainstRest: RearfootAgainstRest;
  quarters: FinishQuarters;
  model: FinishModel | null;
}

/** An agreement figure with its interval, and the interval that takes the two feet of one runner together. */
export interface AgreementFigure {
  estimate: number | null;
  se: number | null;
  low: number | null;
  high: number | null;
  clusterLow: number | null;
  clusterHigh: number | null;
}

export interface RaterPair {
  a: string;
  b: string;
  /** Feet that both classed. */
  units: number;
  /** 3×3: rows `a`, columns `b`. */
  table: number[][];
  /** Share of the units on which they agree. */
  agreement: number;
  kappa: AgreementFigure;
  weightedKappa: AgreementFigure;
  ac1: AgreementFigure;
}

export interface Agreement {
  pairs: RaterPair[];
  /** Krippendorff's alpha over all units with two or more ratings. */
  alpha: { estimate: number | null; units: number; raters: number };
}

export interface StandardisedShare {
  share: number;
  low: number | null;
  high: number | null;
  /** Limits that also hold where a quarter has no rearfoot runner or no other: sentences take these. */
  scoreLow: number;
  scoreHigh: number;
}

export interface CheckpointCoverage {
  checkpoint: string;
  /** Finishers classified there. */
  sighted: number;
  share: number | null;
  /** Finishers classified there by quarter of all finish times, fastest first. */
  quarters: number[];
  /** Their shares of all finishers in the quarter. */
  quarterShare: (number | null)[];
  standardisedRearfoot: StandardisedShare | null;
}

export interface Coverage {
  finishers: number;
  checkpoints: CheckpointCoverage[];
}
