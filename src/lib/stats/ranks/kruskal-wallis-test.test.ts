import fc from 'fast-check';
import { expect, it } from 'vitest';
import { dunnTest } from './dunn-test.ts';
import { kruskalWallisTest } from './kruskal-wallis-test.ts';
import { rankWithTies } from './rank-with-ties.ts';

const nothing = { statistic: null, df: null, p: null, epsilonSquared: null };

it('is null with one group that holds anything, with all values equal, and without values', () => {
  expect(kruskalWallisTest(rankWithTies([]), [], 4)).toMatchObject({ n: 0, ...nothing });
  expect(kruskalWallisTest(rankWithTies([1, 2]), [1, 1], 4)).toMatchObject(nothing);
  expect(kruskalWallisTest(rankWithTies([5, 5, 5]), [0, 1, 2], 4)).toMatchObject(nothing);
});

it('reaches ε² = 1 where groups determine values', () => {
  expect(kruskalWallisTest(rankWithTies([1, 1, 2, 2]), [0, 0, 1, 1], 2).epsilonSquared).toBeCloseTo(1, 12);
});

it('is Dunn’s z squared for two groups, and does not care how groups are numbered', () => {
  const observation = fc.tuple(fc.integer({ min: 0, max: 9 }), fc.nat(1));
  fc.assert(
    fc.property(fc.array(observation, { minLength: 2, maxLength: 50 }), (sample) => {
      const ranked = rankWithTies(sample.map(([value]) => value));
      const groups = sample.map(([, group]) => group);
      const test = kruskalWallisTest(ranked, groups, 2);
      const [pair] = dunnTest(ranked, groups, 2);
      if (test.statistic !== null) expect(pair!.z! ** 2).toBeCloseTo(test.statistic, 8);
      const renumbered = kruskalWallisTest(
        ranked,
        groups.map((group) => 5 - group),
        7,
      );
      expect(renumbered.df).toBe(test.df);
      if (test.p !== null) expect(renumbered.p).toBeCloseTo(test.p, 10);
    }),
  );
});

it('throws for a group out of range and for lengths that differ', () => {
  expect(() => kruskalWallisTest(rankWithTies([1, 2]), [0, 2], 2)).toThrow('group 2');
  expect(() => kruskalWallisTest(rankWithTies([1, 2]), [0], 2)).toThrow('1 groups for 2 values');
});
