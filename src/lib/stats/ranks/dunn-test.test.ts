import { expect, it } from 'vitest';
import { dunnTest } from './dunn-test.ts';
import { rankWithTies } from './rank-with-ties.ts';

it('compares every two groups that hold anything, in rising order', () => {
  const pairs = dunnTest(rankWithTies([1, 5, 9, 2]), [3, 0, 2, 3], 4);
  expect(pairs.map(({ a, b }) => [a, b])).toEqual([
    [0, 2],
    [0, 3],
    [2, 3],
  ]);
  expect(dunnTest(rankWithTies([1, 2]), [1, 1], 3)).toEqual([]);
});

it('is positive where the first has the greater mean rank', () => {
  expect(dunnTest(rankWithTies([9, 8, 1, 2]), [0, 0, 1, 1], 2)[0]!.z).toBeGreaterThan(0);
});

it('is null with all values equal', () => {
  expect(dunnTest(rankWithTies([4, 4]), [0, 1], 2)).toEqual([{ a: 0, b: 1, z: null, p: null, adjustedP: null }]);
});
