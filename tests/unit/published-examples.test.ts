import { describe, expect, it } from 'vitest';
import { bowkerTest } from '../../src/lib/stats/paired/bowker-test.ts';
import { clopperPearsonInterval } from '../../src/lib/stats/proportions/clopper-pearson-interval.ts';
import { cochranQTest } from '../../src/lib/stats/paired/cochran-q-test.ts';
import { cohenKappa, identityWeights, linearWeights } from '../../src/lib/stats/agreement/cohen-kappa.ts';
import { dunnTest } from '../../src/lib/stats/ranks/dunn-test.ts';
import { exchangeableGee } from '../../src/lib/stats/paired/exchangeable-gee.ts';
import { fisherFreemanHaltonTest } from '../../src/lib/stats/contingency/fisher-freeman-halton-test.ts';
import { gwetAc1 } from '../../src/lib/stats/agreement/gwet-ac1.ts';
import { holmAdjustment } from '../../src/lib/stats/ranks/holm-adjustment.ts';
import { krippendorffAlpha } from '../../src/lib/stats/agreement/krippendorff-alpha.ts';
import { kruskalWallisTest } from '../../src/lib/stats/ranks/kruskal-wallis-test.ts';
import { leastSquares } from '../../src/lib/stats/regression/least-squares.ts';
import { mannWhitneyTest } from '../../src/lib/stats/ranks/mann-whitney-test.ts';
import { mcnemarTest } from '../../src/lib/stats/paired/mcnemar-test.ts';
import { newcombePairedInterval } from '../../src/lib/stats/paired/newcombe-paired-interval.ts';
import { pearsonChiSquareTest } from '../../src/lib/stats/contingency/pearson-chi-square-test.ts';
import { quantileType7 } from '../../src/lib/stats/samples/quantile-type7.ts';
import { rankWithTies } from '../../src/lib/stats/ranks/rank-with-ties.ts';
import { stuartMaxwellTest } from '../../src/lib/stats/paired/stuart-maxwell-test.ts';
import { trendInProportionsTest } from '../../src/lib/stats/contingency/trend-in-proportions-test.ts';
import { wilsonInterval } from '../../src/lib/stats/proportions/wilson-interval.ts';
import { differences, publishedExamples } from '../helpers/findings/published.ts';

/**
 * Every worked example of tests/reference/published.json, recomputed. The title of each check names its source; the file
 * says besides whether the printed figure was seen, worked by hand, or written down from memory.
 */
type Table = number[][];

/** Rows whose last entry says how often they occur, written out. */
const writtenOut = (patterns: Table): Table =>
  patterns.flatMap((pattern) => Array.from({ length: pattern.at(-1)! }, () => pattern.slice(0, -1)));

const groupsOf = (groups: Table): { values: number[]; group: number[] } => ({
  values: groups.flat(),
  group: groups.flatMap((values, g) => values.map(() => g)),
});

const RECOMPUTE: Record<string, (input: never) => object> = {
  wilson: ({ x, n, level }: { x: number; n: number; level: number }) => wilsonInterval(x, n, level),
  clopperPearson: ({ x, n, level }: { x: number; n: number; level: number }) => clopperPearsonInterval(x, n, level),
  newcombePaired: ({
    level,
    ...pairs
  }: {
    both: number;
    gained: number;
    lost: number;
    neither: number;
    level: number;
  }) => newcombePairedInterval(pairs, level),
  mcnemar: ({ gained, lost }: { gained: number; lost: number }) => mcnemarTest(gained, lost),
  stuartMaxwell: ({ table }: { table: Table }) => stuartMaxwellTest(table),
  bowker: ({ table }: { table: Table }) => bowkerTest(table),
  pearson: ({ table }: { table: Table }) => pearsonChiSquareTest(table),
  fisherExact: ({ table }: { table: Table }) => fisherFreemanHaltonTest(table),
  cochranQ: ({ patterns }: { patterns: Table }) => {
    const { n, occasions, ...test } = cochranQTest(writtenOut(patterns).flat(), patterns[0]!.length - 1);
    return { runners: n, checkpoints: occasions, ...test };
  },
  gee: ({ times, patterns }: { times: number[]; patterns: Table }) => {
    const rows = writtenOut(patterns);
    return exchangeableGee({
      outcome: rows.flat(),
      covariate: rows.flatMap(() => times),
      cluster: rows.flatMap((row, i) => row.map(() => i)),
      clusterCount: rows.length,
    });
  },
  kruskal: ({ groups }: { groups: Table }) => {
    const { values, group } = groupsOf(groups);
    return kruskalWallisTest(rankWithTies(values), group, groups.length);
  },
  dunn: ({ groups }: { groups: Table }) => {
    const { values, group } = groupsOf(groups);
    const pairs = dunnTest(rankWithTies(values), group, groups.length);
    return {
      z: pairs.map((pair) => pair.z),
      p: pairs.map((pair) => pair.p),
      adjustedP: pairs.map((pair) => pair.adjustedP),
    };
  },
  mannWhitney: ({ a, b }: { a: number[]; b: number[] }) =>
    mannWhitneyTest(rankWithTies([...a, ...b]), [...a.map(() => 1), ...b.map(() => 0)]),
  trendInProportions: ({ x, n }: { x: number[]; n: number[] }) => trendInProportionsTest(x, n),
  quantile7: ({ values, probabilities }: { values: number[]; probabilities: number[] }) => ({
    quantiles: probabilities.map((p) => quantileType7(values, p)),
  }),
  holm: ({ p }: { p: number[] }) => ({ adjusted: holmAdjustment(p) }),
  ols: ({ y, columns }: { y: number[]; columns: Table }) => {
    const { terms, rSquared } = leastSquares(y, columns);
    return { estimate: terms.map((term) => term.estimate), se: terms.map((term) => term.se), rSquared };
  },
  kappa: ({ table, weights, level }: { table: Table; weights: 'identity' | 'linear' | Table; level: number }) => {
    const named = { identity: identityWeights, linear: linearWeights };
    const kappa = cohenKappa(table, typeof weights === 'string' ? named[weights](table.length) : weights, level);
    return { ...kappa, variance: kappa.se! ** 2 };
  },
  ac1: ({ table, level }: { table: Table; level: number }) => gwetAc1(table, level),
  krippendorffAlpha: ({ ratings }: { ratings: (number | null)[][] }) => {
    const given = ratings.flatMap((row, rater) =>
      row.flatMap((value, unit) => (value === null ? [] : [{ unit, rater, value }])),
    );
    return krippendorffAlpha({
      unit: given.map((rating) => rating.unit),
      rater: given.map((rating) => rating.rater),
      class: given.map((rating) => rating.value),
      unitCount: ratings[0]!.length,
      raterCount: ratings.length,
      classCount: 1 + Math.max(...given.map((rating) => rating.value)),
    });
  },
  shares: ({ counts }: { counts: number[] }) => {
    const total = counts.reduce((sum, count) => sum + count, 0);
    return { total, percent: counts.map((count) => (100 * count) / total) };
  },
};

describe('published worked examples', () => {
  const examples = publishedExamples();

  it('are all there', () => {
    expect(examples.length).toBe(53);
    expect(new Set(examples.map((example) => example.id)).size).toBe(examples.length);
  });

  it.each(examples.map((example) => [`${example.id}: ${example.source} [${example.seen}]`, example] as const))(
    '%s',
    (_, example) => {
      const found = RECOMPUTE[example.procedure]!(example.input as never);
      expect(differences(example, found)).toEqual([]);
    },
  );
});
