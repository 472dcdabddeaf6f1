import fc from 'fast-check';
import { expect, it } from 'vitest';
import { quantileType7 } from './quantile-type7.ts';

it('is null of nothing and the value of one', () => {
  expect(quantileType7([], 0.5)).toBeNull();
  expect(quantileType7([7], 0.25)).toBe(7);
});

it('interpolates in the last interval too', () => {
  expect(quantileType7([1, 2, 3], 0.75)).toBe(2.5);
});

it('is exactly the value between equal neighbours, and lies between least and greatest', () => {
  expect(quantileType7([0.1, 0.1, 0.1], 0.3)).toBe(0.1);
  fc.assert(
    fc.property(
      fc.array(fc.integer({ min: -50, max: 50 }), { minLength: 1 }),
      fc.double({ min: 0, max: 1, noNaN: true }),
      (values, p) => {
        const sorted = Float64Array.from(values).sort();
        const q = quantileType7(sorted, p)!;
        expect(q >= sorted[0]! && q <= sorted.at(-1)!).toBe(true);
        expect(quantileType7(sorted, 0)).toBe(sorted[0]);
        expect(quantileType7(sorted, 1)).toBe(sorted.at(-1));
      },
    ),
  );
});

it('throws for what is no probability', () => {
  expect(() => quantileType7([1], 25)).toThrow('probability');
});
