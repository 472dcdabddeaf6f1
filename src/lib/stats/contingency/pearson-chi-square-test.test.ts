import fc from 'fast-check';
import { expect, it } from 'vitest';
import { pearsonChiSquareTest } from './pearson-chi-square-test.ts';

it('is null with fewer than two rows or columns that hold anything', () => {
  const nothing = { statistic: null, df: null, p: null, minExpected: null, cramersV: null };
  expect(pearsonChiSquareTest([])).toMatchObject({ n: 0, ...nothing });
  expect(
    pearsonChiSquareTest([
      [3, 4],
      [0, 0],
    ]),
  ).toMatchObject({ n: 7, ...nothing });
  expect(
    pearsonChiSquareTest([
      [3, 0],
      [5, 0],
    ]),
  ).toMatchObject({ n: 8, ...nothing });
});

// By hand: rows (10, 0) and (0, 30) have χ² = n and V = 1.
it('reaches V = 1 where rows determine columns', () => {
  expect(
    pearsonChiSquareTest([
      [10, 0],
      [0, 30],
    ]),
  ).toMatchObject({ statistic: 40, df: 1, cramersV: 1, minExpected: 2.5 });
});

it('is the same transposed and with empty lines added; V lies in 0 to 1, p too', () => {
  const rows = fc.array(fc.array(fc.nat(50), { minLength: 3, maxLength: 3 }), { minLength: 2, maxLength: 5 });
  fc.assert(
    fc.property(rows, (t) => {
      const want = pearsonChiSquareTest(t);
      for (const variant of [
        [0, 1, 2].map((j) => t.map((row) => row[j]!)),
        [...t.map((row) => [0, ...row]), [0, 0, 0, 0]],
      ]) {
        const got = pearsonChiSquareTest(variant);
        expect(got.df).toBe(want.df);
        if (want.statistic !== null) expect(got.statistic! - want.statistic).toBeCloseTo(0, 9);
      }
      if (want.p !== null) expect(want.p >= 0 && want.p <= 1 && want.cramersV! <= 1 + 1e-12).toBe(true);
    }),
  );
});

it('throws for rows of unequal length', () => {
  expect(() => pearsonChiSquareTest([[1, 2], [1]])).toThrow('row 1');
});
