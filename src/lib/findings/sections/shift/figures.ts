import { RUNNER_CLASSES } from '../../../records/foot.ts';
import { isClassified, REARFOOT, type RunnerClasses } from '../../../sightings/runner-classes.ts';
import { leftOf, methodOf, rightOf, RULING, UNSEEN } from '../../../sightings/seen.ts';
import { type SightingTable } from '../../../sightings/sighting-table.ts';
import { observerOf } from '../../../sightings/used-sightings.ts';
import { bowkerTest } from '../../../stats/paired/bowker-test.ts';
import { cochranQTest } from '../../../stats/paired/cochran-q-test.ts';
import { exchangeableGee, type ClusteredOutcomes, type NoGeeEstimate } from '../../../stats/paired/exchangeable-gee.ts';
import { fisherFreemanHaltonTest } from '../../../stats/contingency/fisher-freeman-halton-test.ts';
import { mcnemarTest } from '../../../stats/paired/mcnemar-test.ts';
import { newcombePairedInterval } from '../../../stats/paired/newcombe-paired-interval.ts';
import { pairedOddsRatio } from '../../../stats/paired/paired-odds-ratio.ts';
import { pearsonChiSquareTest } from '../../../stats/contingency/pearson-chi-square-test.ts';
import { stuartMaxwellTest } from '../../../stats/paired/stuart-maxwell-test.ts';
import { chiSquareMembers } from '../../chi-square-members.ts';
import type { ResolvedRace } from '../../resolved-race.ts';
import type { TestResult } from '../../test-result.ts';

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

/** More tables with the same margins than this are not listed for the exact test. */
const MOST_TABLES = 20e6;
const KM_PER_UNIT = 10;
const CLASSES = RUNNER_CLASSES.length;

export interface ShiftFigures {
  shift: Shift;
  /** Why the trend has no estimate, for the notes. */
  trendReason: NoGeeEstimate | null;
}

const noCounts = (rows: number): number[][] => Array.from({ length: rows }, () => new Array<number>(CLASSES).fill(0));

/** The outcome of a bib at a checkpoint, or −1 when it was not sighted there. */
function outcomeAt(classes: RunnerClasses, bib: number, checkpoint: number): number {
  for (let i = classes.first[bib]!; i < classes.first[bib + 1]!; i += 1) {
    if (classes.checkpoint[i] === checkpoint) return classes.outcome[i]!;
  }
  return -1;
}

interface EarlyLate {
  transitions: number[][];
  /** Of these, the runners whom one observer saw at both. */
  within: number[][];
  /** By class: all classified early, all classified late. */
  samples: number[][];
  /** By class early: classified late too, not classified late. */
  followed: number[][];
}

/** @param same 1 for each bib whom one observer saw at both */
export function countEarlyLate(classes: RunnerClasses, same: Uint8Array, early: number, late: number): EarlyLate {
  const transitions = noCounts(CLASSES);
  const within = noCounts(CLASSES);
  const samples = noCounts(2);
  const followed = noCounts(2);
  for (let bib = 0; bib < same.length; bib += 1) {
    const before = outcomeAt(classes, bib, early);
    const after = outcomeAt(classes, bib, late);
    const seenBefore = before >= 0 && isClassified(before);
    const seenAfter = after >= 0 && isClassified(after);
    if (seenBefore) {
      samples[0]![before]! += 1;
      followed[seenAfter ? 0 : 1]![before]! += 1;
    }
    if (seenAfter) samples[1]![after]! += 1;
    if (!seenBefore || !seenAfter) continue;
    transitions[before]![after]! += 1;
    if (same[bib] === 1) within[before]![after]! += 1;
  }
  return { transitions, within, samples, followed };
}

const sum = (counts: readonly number[]): number => counts.reduce((total, count) => total + count, 0);

function rearfootChange(transitions: number[][], paired: number, level: number): RearfootChange {
  const both = transitions[REARFOOT]![REARFOOT]!;
  const lost = sum(transitions[REARFOOT]!) - both;
  const gained = sum(transitions.map((row) => row[REARFOOT]!)) - both;
  const paths = { both, gained, lost, neither: paired - both - gained - lost };
  const change = newcombePairedInterval(paths, level);
  const odds = pairedOddsRatio(gained, lost, level);
  const test = mcnemarTest(gained, lost);
  return {
    early: change.first,
    late: change.second,
    difference: change.difference,
    low: change.low,
    high: change.high,
    gained,
    lost,
    oddsRatio: odds.oddsRatio,
    oddsRatioLow: odds.low,
    oddsRatioHigh: odds.high,
    mcnemar: { statistic: test.statistic, df: test.df, p: test.p, exactP: test.exactP, midP: test.midP },
  };
}

function independentSamples(table: number[][], paired: number): IndependentSamples {
  const test = pearsonChiSquareTest(table);
  const either = sum(table[0]!) + sum(table[1]!) - paired;
  return {
    table,
    ...chiSquareMembers(test),
    minExpected: test.minExpected,
    cramersV: test.cramersV,
    exactP: fisherFreemanHaltonTest(table, MOST_TABLES).p,
    overlap: either > 0 ? paired / either : null,
  };
}

/** Rearfoot or not in the runners classified at every checkpoint. */
function cochranQ(classes: RunnerClasses, bibs: number, checkpoints: number): CochranQ | null {
  if (checkpoints < 3) return null;
  const everywhere: number[] = [];
  for (let bib = 0; bib < bibs; bib += 1) {
    const from = classes.first[bib]!;
    const to = classes.first[bib + 1]!;
    if (to - from !== checkpoints) continue;
    let all = true;
    for (let i = from; i < to && all; i += 1) all = isClassified(classes.outcome[i]!);
    if (!all) continue;
    for (let i = from; i < to; i += 1) everywhere.push(classes.outcome[i] === REARFOOT ? 1 : 0);
  }
  const test = cochranQTest(everywhere, checkpoints);
  return { runners: test.n, checkpoints, ...chiSquareMembers(test) };
}

/**
 * Rearfoot or not at each place where a runner was classified. Runners who are alike in all of it are one kind, counted:
 * there are many runners and few kinds.
 */
function kindsOfRunners(table: SightingTable, classes: RunnerClasses): ClusteredOutcomes {
  const places = table.checkpoints.length;
  // Three things can be true of a runner at a place. Beyond 30 places the numbers of kinds are no longer exact.
  const counted = places <= 30;
  const kinds = new Map<number, number>();
  const [alike, outcome, covariate, cluster]: number[][] = [[], [], [], []];
  for (let bib = 0; bib < table.bibs.length; bib += 1) {
    const [from, to] = [classes.first[bib]!, classes.first[bib + 1]!];
    let code = 0;
    for (let i = from; i < to; i += 1) {
      if (isClassified(classes.outcome[i]!))
        code += 3 ** classes.checkpoint[i]! * (classes.outcome[i] === REARFOOT ? 2 : 1);
    }
    if (code === 0) continue;
    const known = counted ? kinds.get(code) : undefined;
    if (known !== undefined) {
      alike![known]! += 1;
      continue;
    }
    const kind = alike!.push(1) - 1;
    kinds.set(code, kind);
    for (let i = from; i < to; i += 1) {
      if (!isClassified(classes.outcome[i]!)) continue;
      outcome!.push(classes.outcome[i] === REARFOOT ? 1 : 0);
      covariate!.push(table.checkpoints[classes.checkpoint[i]!]!.km / KM_PER_UNIT);
      cluster!.push(kind);
    }
  }
  return { outcome: outcome!, covariate: covariate!, cluster: cluster!, clusterCount: alike!.length, alike: alike! };
}

/** Rearfoot on distance over all classified runners of all checkpoints. */
export function trendOf(
  { table, classes }: ResolvedRace,
  level: number,
): { trend: Trend; reason: NoGeeEstimate | null } {
  const fit = exchangeableGee(kindsOfRunners(table, classes), level);
  const { clusters, observations, intercept, coefficient, se, z, p, oddsRatio, low, high, alpha, reason } = fit;
  const trend = { clusters, observations, intercept, coefficient, se, z, p, oddsRatio, low, high, alpha };
  return { trend, reason };
}

/** Observers with a live or clip sighting that counts at both checkpoints. */
export function commonObservers({ table, used }: ResolvedRace, early: number, late: number): number {
  const seen = new Uint8Array(table.observers.length);
  for (let i = 0; i < used.rows.length; i += 1) {
    const place = used.checkpoint[i]!;
    if ((place !== early && place !== late) || methodOf(used.seen[i]!) === RULING) continue;
    seen[observerOf(used.rater[i]!)]! |= (place === early ? 1 : 0) | (place === late ? 2 : 0);
  }
  return seen.reduce((count, places) => count + (places === 3 ? 1 : 0), 0);
}

/** For each bib 1 where one and the same observer saw a foot of it at both checkpoints, live or by clip. Linear. */
function seenBySameObserver({ table, used }: ResolvedRace, early: number, late: number): Uint8Array {
  const same = new Uint8Array(table.bibs.length);
  // Rows are sorted by bib: the last bib that each observer saw at either place is all there is to hold.
  const lastEarly = new Int32Array(table.observers.length).fill(-1);
  const lastLate = new Int32Array(table.observers.length).fill(-1);
  for (let i = 0; i < used.rows.length; i += 1) {
    const place = used.checkpoint[i]!;
    if (place !== early && place !== late) continue;
    const seen = used.seen[i]!;
    const sawFoot = leftOf(seen) !== UNSEEN || rightOf(seen) !== UNSEEN;
    if (methodOf(seen) === RULING || !sawFoot) continue;
    const bib = used.bib[i]!;
    const observer = observerOf(used.rater[i]!);
    (place === early ? lastEarly : lastLate)[observer] = bib;
    if (lastEarly[observer] === bib && lastLate[observer] === bib) same[bib] = 1;
  }
  return same;
}

/**
 * Early against late. `early` and `late` are places in the table's checkpoints.
 *
 * Which of these tests answers which question: `which-test.ts`.
 */
export function shiftOf(race: ResolvedRace, early: number, late: number, level: number): ShiftFigures {
  const { table, classes } = race;
  const same = seenBySameObserver(race, early, late);
  const { transitions, within, samples, followed } = countEarlyLate(classes, same, early, late);
  const paired = sum(transitions.flat());
  const pairs = sum(within.flat());
  const { trend, reason } = trendOf(race, level);
  const shift: Shift = {
    early: table.checkpoints[early]!.name,
    late: table.checkpoints[late]!.name,
    commonObservers: commonObservers(race, early, late),
    paired,
    transitions,
    rearfoot: rearfootChange(transitions, paired, level),
    sameObserver: { pairs, ...rearfootChange(within, pairs, level) },
    marginalHomogeneity: chiSquareMembers(stuartMaxwellTest(transitions)),
    symmetry: chiSquareMembers(bowkerTest(transitions)),
    independent: independentSamples(samples, paired),
    attrition: {
      seenLate: sum(followed[0]!),
      notSeenLate: sum(followed[1]!),
      table: followed,
      ...chiSquareMembers(pearsonChiSquareTest(followed)),
    },
    cochranQ: cochranQ(classes, table.bibs.length, table.checkpoints.length),
    trend,
  };
  return { shift, trendReason: reason };
}
