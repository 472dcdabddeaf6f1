import fc from 'fast-check';
import { expect, it } from 'vitest';
import { pearsonChiSquareTest } from './pearson-chi-square-test.ts';
import { trendInProportionsTest } from './trend-in-proportions-test.ts';

it('is null with one group, one score, or one outcome', () => {
  const nothing = { statistic: null, df: null, p: null };
  expect(trendInProportionsTest([], [])).toMatchObject({ n: 0, ...nothing });
  expect(trendInProportionsTest([3, 0], [5, 0])).toMatchObject(nothing);
  expect(trendInProportionsTest([3, 1], [5, 6], [2, 2])).toMatchObject(nothing);
  expect(trendInProportionsTest([5, 6], [5, 6])).toMatchObject(nothing);
  expect(trendInProportionsTest([0, 0], [5, 6])).toMatchObject(nothing);
});

it('keeps the scores of the others where a group is empty', () => {
  const { statistic } = trendInProportionsTest([3, 0, 9], [10, 0, 12]);
  expect(statistic).toBeCloseTo(trendInProportionsTest([3, 9], [10, 12], [1, 3]).statistic!, 12);
});

it('is Pearson’s test for two groups, whatever the scores, and never more than it for more', () => {
  const group = fc.tuple(fc.nat(60), fc.nat(60)).filter(([x, rest]) => x + rest > 0);
  fc.assert(
    fc.property(fc.array(group, { minLength: 2, maxLength: 6 }), (groups) => {
      const all = pearsonChiSquareTest(groups);
      const trend = trendInProportionsTest(
        groups.map(([x]) => x),
        groups.map(([x, rest]) => x + rest),
        groups.map((_, i) => 3 * i * i + 1),
      );
      if (all.statistic === null || trend.statistic === null) return;
      expect(trend.statistic).toBeLessThanOrEqual(all.statistic + 1e-9);
      if (groups.length === 2) expect(trend.statistic).toBeCloseTo(all.statistic, 8);
    }),
  );
});

it('throws for lengths that differ and for more successes than trials', () => {
  expect(() => trendInProportionsTest([1], [2, 3])).toThrow('differ in length');
  expect(() => trendInProportionsTest([3, 1], [2, 3])).toThrow('successes');
});
