import fc from 'fast-check';
import { expect, it } from 'vitest';
import { cochranQTest } from './cochran-q-test.ts';
import { mcnemarTest } from './mcnemar-test.ts';

it('is null without a unit, and where every unit is the same on all occasions', () => {
  expect(cochranQTest([], 3)).toMatchObject({ n: 0, occasions: 3, statistic: null, df: null, p: null });
  expect(cochranQTest([1, 1, 1, 0, 0, 0], 3)).toMatchObject({ n: 2, statistic: null, df: null, p: null });
});

it('is McNemar’s test on two occasions', () => {
  fc.assert(
    fc.property(fc.array(fc.tuple(fc.nat(1), fc.nat(1)), { maxLength: 60 }), (pairs) => {
      const gained = pairs.filter(([a, b]) => a < b).length;
      const lost = pairs.filter(([a, b]) => a > b).length;
      const want = mcnemarTest(gained, lost).statistic;
      const got = cochranQTest(pairs.flat(), 2).statistic;
      expect(got).toEqual(want === null ? null : expect.closeTo(want, 9));
    }),
  );
});

it('throws for outcomes other than 0 and 1, and for a row that is not full', () => {
  expect(() => cochranQTest([0, 2, 1], 3)).toThrow('outcome 2');
  expect(() => cochranQTest([0, 1], 3)).toThrow('no whole number of rows');
  expect(() => cochranQTest([0], 1)).toThrow('occasions');
});
