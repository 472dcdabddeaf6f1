import fc from 'fast-check';
import { expect, it } from 'vitest';
import { clopperPearsonInterval } from './clopper-pearson-interval.ts';
import { binomialLowerTail, binomialUpperTail } from '../distributions.ts';

it('has no ends without a trial, and an exact end at none and at all', () => {
  expect(clopperPearsonInterval(0, 0)).toEqual({ low: null, high: null });
  expect(clopperPearsonInterval(0, 9).low).toBe(0);
  expect(clopperPearsonInterval(9, 9).high).toBe(1);
});

// Its definition: at either end the tail beyond what was seen is half of what the level leaves.
it('leaves half of 1 − level in the binomial tail at each end, contains the share, and widens with the level', () => {
  fc.assert(
    fc.property(fc.nat(300), fc.nat(300), fc.constantFrom(0.5, 0.8, 0.9, 0.95, 0.99), (x, rest, level) => {
      fc.pre(x + rest > 0);
      const n = x + rest;
      const { low, high } = clopperPearsonInterval(x, n, level);
      if (x > 0) expect(binomialUpperTail(x, n, low!)).toBeCloseTo((1 - level) / 2, 10);
      if (x < n) expect(binomialLowerTail(x, n, high!)).toBeCloseTo((1 - level) / 2, 10);
      expect(low! <= x / n && x / n <= high!).toBe(true);
      const wide = clopperPearsonInterval(x, n, level + 0.005);
      expect(wide.low! <= low! && wide.high! >= high!).toBe(true);
    }),
  );
});

it('throws for what is no count, no part or no level', () => {
  expect(() => clopperPearsonInterval(3, 2)).toThrow('at most n');
  expect(() => clopperPearsonInterval(-1, 2)).toThrow('x is -1');
  expect(() => clopperPearsonInterval(1, 2, 1)).toThrow('level');
});
