import fc from 'fast-check';
import { expect, it } from 'vitest';
import { bowkerTest } from './bowker-test.ts';

it('is null where nobody changed class and where there is nothing', () => {
  expect(
    bowkerTest([
      [3, 0],
      [0, 4],
    ]),
  ).toMatchObject({ n: 7, statistic: null, df: null, p: null });
  expect(bowkerTest([])).toMatchObject({ n: 0, statistic: null });
});

it('counts only pairs that occur, and finds symmetry in a symmetric table', () => {
  expect(
    bowkerTest([
      [5, 2, 0],
      [2, 1, 0],
      [0, 0, 9],
    ]),
  ).toMatchObject({ statistic: 0, df: 1, p: 1 });
});

it('is the same with rows and columns swapped', () => {
  const rows = fc.array(fc.array(fc.nat(30), { minLength: 4, maxLength: 4 }), { minLength: 4, maxLength: 4 });
  fc.assert(
    fc.property(rows, (t) => {
      expect(bowkerTest(t.map((_, i) => t.map((row) => row[i]!)))).toEqual(bowkerTest(t));
    }),
  );
});

it('throws for an entry that is no count', () => {
  expect(() =>
    bowkerTest([
      [1, 2],
      [1.5, 2],
    ]),
  ).toThrow('table[1][0]');
});
