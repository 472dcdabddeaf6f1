import { RUNNER_CLASSES, type RunnerClass } from '../../../records/foot.ts';
import { compareCodePoints } from '../../../records/code-point-order.ts';
import { isClassified, REARFOOT } from '../../../sightings/runner-classes.ts';
import { describeSample } from '../../../stats/samples/describe-sample.ts';
import { dunnTest } from '../../../stats/ranks/dunn-test.ts';
import { exactTrendTest } from '../../../stats/contingency/exact-trend-test.ts';
import { kruskalWallisTest } from '../../../stats/ranks/kruskal-wallis-test.ts';
import { leastSquares } from '../../../stats/regression/least-squares.ts';
import { mannWhitneyTest } from '../../../stats/ranks/mann-whitney-test.ts';
import { pearsonChiSquareTest } from '../../../stats/contingency/pearson-chi-square-test.ts';
import { rankWithTies } from '../../../stats/ranks/rank-with-ties.ts';
import { trendInProportionsTest } from '../../../stats/contingency/trend-in-proportions-test.ts';
import { chiSquareMembers } from '../../chi-square-members.ts';
import type { Field } from '../../field.ts';
import { quarterOf, quartersOf } from './finish-quarters.ts';
import { recordBy } from '../../record-by.ts';
import type { ResolvedRace } from '../../resolved-race.ts';
import type { TestResult } from '../../test-result.ts';

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

/** With more values than this the column is no sex: each takes a column of the model, whose cost grows with its square. */
export const MOST_SEX_LEVELS = 200;
/** A residual sum of squares not above this share of the total is rounding: the fit leaves no error to judge by. */
const PERFECT = 1e-20;

/** Why there is no model, for the notes. */
export type NoModel =
  'no rearfoot runner' | 'equal times' | 'no degree of freedom' | 'perfect fit' | 'too many sex levels';

export interface FinishResult {
  finish: FinishFigures;
  noModel: NoModel | null;
}

/** Runners classified at the checkpoint who have a finish, in columns, by bib. */
interface Matched {
  /** Place in `RUNNER_CLASSES`. */
  classes: number[];
  seconds: Float64Array;
  ages: (number | undefined)[];
  sexes: (string | undefined)[];
}

function matchedFinishers({ classes }: ResolvedRace, field: Field, by: number): Matched {
  const matched: Matched = { classes: [], seconds: new Float64Array(0), ages: [], sexes: [] };
  const seconds: number[] = [];
  for (let i = 0; i < classes.size; i += 1) {
    if (classes.checkpoint[i] !== by || !isClassified(classes.outcome[i]!)) continue;
    const row = field.rows[field.rowOfBib[classes.bib[i]!]!];
    if (row?.finish === undefined) continue;
    matched.classes.push(classes.outcome[i]!);
    seconds.push(row.finish);
    matched.ages.push(row.age);
    matched.sexes.push(row.sex);
  }
  return { ...matched, seconds: new Float64Array(seconds) };
}

function quartersFigures(seconds: Float64Array, rearfoot: readonly boolean[]): FinishQuarters {
  const cuts = quartersOf(seconds);
  const table = Array.from({ length: 4 }, () => [0, 0]);
  if (cuts) seconds.forEach((time, i) => (table[quarterOf(time, cuts)]![rearfoot[i] ? 0 : 1]! += 1));
  const counts = table.map((row) => row[0]!);
  const sizes = table.map((row) => row[0]! + row[1]!);
  const trend = {
    ...chiSquareMembers(trendInProportionsTest(counts, sizes)),
    exactP: exactTrendTest(counts, sizes).p,
  };
  return { cuts, table, ...chiSquareMembers(pearsonChiSquareTest(table)), trend };
}

/** Least squares of ln(finish seconds) on class, age and sex; reference: rearfoot, the first sex in code-point order. */
function modelOf(matched: Matched, level: number): FinishModel | NoModel {
  const useAge = matched.ages.some((age) => age !== undefined);
  const useSex = matched.sexes.some((sex) => sex !== undefined);
  const rows = [...matched.classes.keys()].filter(
    (i) => (!useAge || matched.ages[i] !== undefined) && (!useSex || matched.sexes[i] !== undefined),
  );
  if (!rows.some((i) => matched.classes[i] === REARFOOT)) return 'no rearfoot runner';
  if (rows.every((i) => matched.seconds[i] === matched.seconds[rows[0]!])) return 'equal times';
  const sexes = useSex ? [...new Set(rows.map((i) => matched.sexes[i]!))].sort(compareCodePoints) : [];
  if (sexes.length > MOST_SEX_LEVELS) return 'too many sex levels';

  const column = (value: (i: number) => number): Float64Array => {
    // `Float64Array.from` with a function takes ten times as long over a hundred thousand runners.
    const values = new Float64Array(rows.length);
    rows.forEach((i, at) => (values[at] = value(i)));
    return values;
  };
  const columns: { term: string; values: Float64Array }[] = [];
  RUNNER_CLASSES.forEach((term, place) => {
    if (place === REARFOOT || !rows.some((i) => matched.classes[i] === place)) return;
    columns.push({ term, values: column((i) => (matched.classes[i] === place ? 1 : 0)) });
  });
  if (useAge) columns.push({ term: 'age', values: column((i) => matched.ages[i]!) });
  for (const sex of sexes.slice(1)) {
    columns.push({ term: `sex:${sex}`, values: column((i) => (matched.sexes[i] === sex ? 1 : 0)) });
  }
  const fit = leastSquares(
    column((i) => Math.log(matched.seconds[i]!)),
    columns.map(({ values }) => values),
    level,
  );
  if (fit.df < 1) return 'no degree of freedom';
  if (!((fit.residualShare ?? 0) > PERFECT)) return 'perfect fit';
  return {
    n: fit.n,
    df: fit.df,
    rSquared: fit.rSquared,
    // With a degree of freedom left and no perfect fit every term has a standard error and an interval.
    terms: fit.terms.map(({ column, estimate, se, t, p, low, high }) => ({
      term: column < 0 ? '(intercept)' : columns[column]!.term,
      estimate,
      se: se!,
      t,
      p,
      low: low!,
      high: high!,
    })),
  };
}

/** The classes at one checkpoint (`by`, its place in the table) against the finish times of those who finished. */
export function finishFigures(race: ResolvedRace, field: Field, by: number, level: number): FinishResult {
  const matched = matchedFinishers(race, field, by);
  const { classes, seconds } = matched;
  const ranked = rankWithTies(seconds);
  const rearfoot = classes.map((place) => place === REARFOOT);
  const kruskal = kruskalWallisTest(ranked, classes, RUNNER_CLASSES.length);
  const against = mannWhitneyTest(
    ranked,
    rearfoot.map((is) => (is ? 1 : 0)),
  );
  const model = modelOf(matched, level);
  const finish: FinishFigures = {
    by: race.table.checkpoints[by]!.name,
    matched: classes.length,
    groups: recordBy(RUNNER_CLASSES, (_, place) => {
      const { n, median, q1, q3, mean } = describeSample(seconds.filter((__, i) => classes[i] === place));
      return { n, median, q1, q3, mean };
    }),
    kruskalWallis: { ...chiSquareMembers(kruskal), epsilonSquared: kruskal.epsilonSquared },
    pairwise: dunnTest(ranked, classes, RUNNER_CLASSES.length).map(({ a, b, z, p, adjustedP }) => ({
      a: RUNNER_CLASSES[a]!,
      b: RUNNER_CLASSES[b]!,
      z,
      p,
      adjustedP,
    })),
    rearfootAgainstRest: {
      rearfoot: against.first,
      rest: against.second,
      statistic: against.statistic,
      p: against.p,
      cliffsDelta: against.cliffsDelta,
    },
    quarters: quartersFigures(seconds, rearfoot),
    model: typeof model === 'string' ? null : model,
  };
  return { finish, noModel: typeof model === 'string' ? model : null };
}
