import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import type { ClusteredUnits } from '../../src/lib/stats/agreement/agreement-coefficient.ts';
import { bowkerTest } from '../../src/lib/stats/paired/bowker-test.ts';
import { clusteredDifference } from '../../src/lib/stats/proportions/clustered-difference.ts';
import { clusteredProportion } from '../../src/lib/stats/proportions/clustered-proportion.ts';
import { clopperPearsonInterval } from '../../src/lib/stats/proportions/clopper-pearson-interval.ts';
import { cochranQTest } from '../../src/lib/stats/paired/cochran-q-test.ts';
import { cohenKappa, identityWeights, linearWeights } from '../../src/lib/stats/agreement/cohen-kappa.ts';
import { describeSample } from '../../src/lib/stats/samples/describe-sample.ts';
import { dunnTest } from '../../src/lib/stats/ranks/dunn-test.ts';
import { exactTrendTest } from '../../src/lib/stats/contingency/exact-trend-test.ts';
import { exchangeableGee } from '../../src/lib/stats/paired/exchangeable-gee.ts';
import { fisherFreemanHaltonTest } from '../../src/lib/stats/contingency/fisher-freeman-halton-test.ts';
import { gwetAc1 } from '../../src/lib/stats/agreement/gwet-ac1.ts';
import { holmAdjustment } from '../../src/lib/stats/ranks/holm-adjustment.ts';
import { krippendorffAlpha } from '../../src/lib/stats/agreement/krippendorff-alpha.ts';
import { kruskalWallisTest } from '../../src/lib/stats/ranks/kruskal-wallis-test.ts';
import { leastSquares } from '../../src/lib/stats/regression/least-squares.ts';
import { limitsOfAgreement } from '../../src/lib/stats/agreement/limits-of-agreement.ts';
import { mannWhitneyTest } from '../../src/lib/stats/ranks/mann-whitney-test.ts';
import { mcnemarTest } from '../../src/lib/stats/paired/mcnemar-test.ts';
import { meanInterval } from '../../src/lib/stats/samples/mean-interval.ts';
import { newcombePairedInterval } from '../../src/lib/stats/paired/newcombe-paired-interval.ts';
import { pairedOddsRatio } from '../../src/lib/stats/paired/paired-odds-ratio.ts';
import { pairedTTest } from '../../src/lib/stats/samples/paired-t-test.ts';
import { pearsonChiSquareTest } from '../../src/lib/stats/contingency/pearson-chi-square-test.ts';
import { quantileType7 } from '../../src/lib/stats/samples/quantile-type7.ts';
import { rankWithTies, sortedCopy } from '../../src/lib/stats/ranks/rank-with-ties.ts';
import { standardisedProportion } from '../../src/lib/stats/proportions/standardised-proportion.ts';
import { stuartMaxwellTest } from '../../src/lib/stats/paired/stuart-maxwell-test.ts';
import { trendInProportionsTest } from '../../src/lib/stats/contingency/trend-in-proportions-test.ts';
import { wilsonInterval } from '../../src/lib/stats/proportions/wilson-interval.ts';

/**
 * Every procedure against R 4.2.2 on random data with unequal groups, ties and every option varied. The expected
 * figures are written by tests/reference/procedures.R; `how` in each case says by which of R's procedures.
 */
type Expected = Record<string, number | null | (number | null)[]>;
interface Case {
  readonly procedure: string;
  readonly how: string;
  readonly input: never;
  readonly expected: Expected;
}

const cases = JSON.parse(
  readFileSync(new URL('../reference/procedures.json', import.meta.url), 'utf8'),
) as readonly Case[];

/** Every named figure of each row, gathered into one list for each name. */
const gathered = <Row extends object>(rows: readonly Row[], names: readonly (keyof Row & string)[]): object =>
  Object.fromEntries(names.map((name) => [name, rows.map((row) => row[name])]));

interface Ranked {
  readonly values: number[];
  readonly groups: number[];
  readonly groupCount: number;
}
interface Share {
  readonly x: number;
  readonly n: number;
  readonly level: number;
}
interface Pairs {
  readonly both: number;
  readonly gained: number;
  readonly lost: number;
  readonly neither: number;
  readonly level: number;
}
interface Hits {
  readonly hits: number[];
  readonly clusters: number[];
  readonly level: number;
}
interface Agreement {
  readonly table: number[][];
  readonly weights: 'identity' | 'linear';
  readonly level: number;
  readonly units: ClusteredUnits;
}

const COMPUTE: Record<string, (input: never) => object> = {
  wilson: ({ x, n, level }: Share) => wilsonInterval(x, n, level),
  clopperPearson: ({ x, n, level }: Share) => clopperPearsonInterval(x, n, level),
  newcombePaired: ({ level, ...pairs }: Pairs) => newcombePairedInterval(pairs, level),
  mcnemar: ({ gained, lost }: Pairs) => mcnemarTest(gained, lost),
  pairedOddsRatio: ({ gained, lost, level }: Pairs) => pairedOddsRatio(gained, lost, level),
  stuartMaxwell: ({ table }: Agreement) => stuartMaxwellTest(table),
  bowker: ({ table }: Agreement) => bowkerTest(table),
  pearson: ({ table }: Agreement) => pearsonChiSquareTest(table),
  fisherExact: ({ table }: Agreement) => fisherFreemanHaltonTest(table, Infinity),
  trendInProportions: ({ x, n, scores }: { x: number[]; n: number[]; scores: number[] }) =>
    trendInProportionsTest(x, n, scores),
  exactTrend: ({ x, n, scores }: { x: number[]; n: number[]; scores: number[] }) => exactTrendTest(x, n, scores),
  cochranQ: ({ rows }: { rows: number[][] }) => cochranQTest(rows.flat(), rows[0]!.length),
  kruskal: ({ values, groups, groupCount }: Ranked) => kruskalWallisTest(rankWithTies(values), groups, groupCount),
  dunn: ({ values, groups, groupCount }: Ranked) =>
    gathered(dunnTest(rankWithTies(values), groups, groupCount), ['z', 'p', 'adjustedP']),
  mannWhitney: ({ values, inFirst }: { values: number[]; inFirst: number[] }) =>
    mannWhitneyTest(rankWithTies(values), inFirst),
  ranks: ({ values }: Ranked) => ({ ranks: [...rankWithTies(values).ranks] }),
  quantile7: ({ values, probabilities }: { values: number[]; probabilities: number[] }) => ({
    quantiles: probabilities.map((p) => quantileType7(sortedCopy(values), p)),
    mean: describeSample(values).mean,
  }),
  holm: ({ p }: { p: number[] }) => ({ adjusted: holmAdjustment(p) }),
  ols: ({ y, columns, level }: { y: number[]; columns: number[][]; level: number }) => {
    const { terms, ...fit } = leastSquares(y, columns, level);
    return {
      ...fit,
      ...gathered(terms, ['estimate', 'se', 't', 'p', 'low', 'high']),
      columns: terms.map((term) => term.column),
    };
  },
  gee: ({ level, ...data }: Parameters<typeof exchangeableGee>[0] & { level: number }) => exchangeableGee(data, level),
  kappa: ({ table, weights, level, units }: Agreement) =>
    cohenKappa(table, { identity: identityWeights, linear: linearWeights }[weights](table.length), level, units),
  ac1: ({ table, level, units }: Agreement) => gwetAc1(table, level, units),
  krippendorffAlpha: (ratings: Parameters<typeof krippendorffAlpha>[0]) => krippendorffAlpha(ratings),
  meanInterval: ({ values, level }: { values: number[]; level: number }) => meanInterval(values, level),
  pairedT: ({ first, second, level }: { first: number[]; second: number[]; level: number }) =>
    pairedTTest(first, second, level),
  limitsOfAgreement: ({ differences }: { differences: number[] }) => limitsOfAgreement(differences),
  clusteredProportion: ({ hits, clusters, level }: Hits) =>
    clusteredProportion({ hits: hits.map(Boolean), clusters }, level),
  clusteredDifference: ({ hits, clusters, side, level }: Hits & { side: number[] }) => {
    const of = (which: number) => {
      const places = hits.map((_, i) => i).filter((i) => side[i] === which);
      return { hits: places.map((i) => hits[i] === 1), clusters: places.map((i) => clusters[i]!) };
    };
    return clusteredDifference(of(1), of(0), level);
  },
  standardised: (input: { population: number[]; sampled: number[]; successes: number[]; level: number }) =>
    standardisedProportion(
      input.population.map((population, h) => ({
        population,
        sampled: input.sampled[h]!,
        successes: input.successes[h]!,
      })),
      input.level,
    ),
};

// Relative, or absolute for figures near 0 that are no p-values. The numerical influence behind the cluster intervals
// carries 8 digits, the dense GEE 9, R's fisher.test 7.
const TOLERANCE: Record<string, number> = { fisherExact: 1e-6, gee: 1e-8, kappa: 1e-7, ac1: 1e-7 };
const P_VALUES = new Set(['p', 'exactP', 'midP', 'adjustedP']);

function off(name: string, got: unknown, want: number | null, tolerance: number): boolean {
  if (want === null) return got !== null;
  if (typeof got !== 'number') return true;
  // Below the least normal double neither side has digits left.
  if (P_VALUES.has(name) && want < 2.3e-308) return got > 2.3e-308;
  const slack = P_VALUES.has(name) ? 0 : 1e-12;
  return !(Math.abs(got - want) <= Math.max(tolerance * Math.abs(want), slack));
}

describe('procedures against R', () => {
  it('leaves no procedure out', () => {
    expect([...new Set(cases.map((one) => one.procedure))].sort()).toEqual(Object.keys(COMPUTE).sort());
  });

  it.each(Object.keys(COMPUTE))('%s', (procedure) => {
    const own = cases.filter((one) => one.procedure === procedure);
    expect(own.length).toBeGreaterThan(10);
    const wrong = own.flatMap(({ input, expected, how }) => {
      const found = COMPUTE[procedure]!(input) as Record<string, unknown>;
      return Object.entries(expected).flatMap(([name, value]) => {
        const want = [value].flat();
        const got = [found[name]].flat();
        const differs =
          got.length !== want.length || want.some((v, i) => off(name, got[i], v, TOLERANCE[procedure] ?? 1e-9));
        return differs ? [{ name, want, got, how, input: JSON.stringify(input).slice(0, 200) }] : [];
      });
    });
    expect(wrong).toEqual([]);
  });
});
