import fc from 'fast-check';
import { expect, it } from 'vitest';
import { mcnemarTest } from './mcnemar-test.ts';
import { stuartMaxwellTest } from './stuart-maxwell-test.ts';

const table = (size: number, most: number) =>
  fc.array(fc.array(fc.nat(most), { minLength: size, maxLength: size }), { minLength: size, maxLength: size });

it('is null where nobody changed class and where there is nothing', () => {
  expect(
    stuartMaxwellTest([
      [3, 0],
      [0, 4],
    ]),
  ).toMatchObject({ n: 7, statistic: null, df: null, p: null });
  expect(stuartMaxwellTest([])).toMatchObject({ n: 0, statistic: null });
});

it('is McNemar’s test for two classes', () => {
  fc.assert(
    fc.property(table(2, 200), (t) => {
      const { statistic, df, p } = stuartMaxwellTest(t);
      const two = mcnemarTest(t[0]![1]!, t[1]![0]!);
      expect(df).toBe(two.df);
      expect(p).toEqual(two.p === null ? null : expect.closeTo(two.p, 10));
      expect(statistic).toEqual(two.statistic === null ? null : expect.closeTo(two.statistic, 8));
    }),
  );
});

it('is the same with rows and columns swapped, classes renamed, or an empty class added', () => {
  fc.assert(
    fc.property(table(4, 12), (t) => {
      const want = stuartMaxwellTest(t);
      const order = [2, 0, 3, 1];
      const variants = [
        t.map((_, i) => t.map((row) => row[i]!)),
        order.map((i) => order.map((j) => t[i]![j]!)),
        [...t.map((row) => [...row, 0]), [0, 0, 0, 0, 0]],
      ];
      for (const variant of variants) {
        const got = stuartMaxwellTest(variant);
        expect(got.df).toBe(want.df);
        if (want.statistic !== null) expect(got.statistic! - want.statistic).toBeCloseTo(0, 8);
      }
    }),
  );
});

it('throws for a table that is not square', () => {
  expect(() =>
    stuartMaxwellTest([
      [1, 2, 3],
      [1, 2, 3],
    ]),
  ).toThrow('square');
});
