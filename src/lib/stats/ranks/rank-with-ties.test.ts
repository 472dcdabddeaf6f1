import fc from 'fast-check';
import { expect, it } from 'vitest';
import { rankWithTies, sortedCopy } from './rank-with-ties.ts';

it('has nothing to rank in nothing, and no spread where all is equal', () => {
  expect(rankWithTies([])).toMatchObject({ n: 0, distinct: 0, spread: 0 });
  expect(rankWithTies([3, 3, 3])).toMatchObject({ distinct: 1, spread: 0, ranks: Float64Array.of(2, 2, 2) });
});

it('sorts by number, not by text, and takes −0 and 0 as equal', () => {
  expect([...sortedCopy([10, 9, -1])]).toEqual([-1, 9, 10]);
  expect([...rankWithTies([0, -0, 1]).ranks]).toEqual([1.5, 1.5, 3]);
});

it('gives each value 1 + the number below it + half the number of its equals', () => {
  fc.assert(
    fc.property(fc.array(fc.integer({ min: 0, max: 12 }), { maxLength: 60 }), (values) => {
      const { ranks, spread, n } = rankWithTies(values);
      values.forEach((value, i) => {
        const below = values.filter((other) => other < value).length;
        const equal = values.filter((other) => other === value).length;
        expect(ranks[i]).toBe(below + (equal + 1) / 2);
      });
      const squares = [...ranks].reduce((sum, rank) => sum + (rank - (n + 1) / 2) ** 2, 0);
      expect(spread).toBeCloseTo(squares, 6);
    }),
  );
});

it('throws for NaN', () => {
  expect(() => rankWithTies([1, NaN, 2])).toThrow('NaN');
});
