import fc from 'fast-check';
import { expect, it } from 'vitest';
import { wilsonInterval } from './wilson-interval.ts';

it('has no ends without a trial, and an exact end at none and at all', () => {
  expect(wilsonInterval(0, 0)).toEqual({ low: null, high: null });
  expect(wilsonInterval(0, 7).low).toBe(0);
  expect(wilsonInterval(7, 7).high).toBe(1);
});

it('contains the share, stays within 0 and 1, widens with the level, and mirrors', () => {
  fc.assert(
    fc.property(fc.nat(5000), fc.nat(5000), fc.double({ min: 0.01, max: 0.98, noNaN: true }), (x, rest, level) => {
      fc.pre(x + rest > 0);
      const n = x + rest;
      const narrow = wilsonInterval(x, n, level);
      const wide = wilsonInterval(x, n, level + 0.01);
      expect(narrow.low!).toBeLessThanOrEqual(x / n);
      expect(narrow.high!).toBeGreaterThanOrEqual(x / n);
      expect(wide.low!).toBeGreaterThanOrEqual(0);
      expect(wide.low!).toBeLessThanOrEqual(narrow.low!);
      expect(wide.high!).toBeGreaterThanOrEqual(narrow.high!);
      expect(wilsonInterval(rest, n, level).low!).toBeCloseTo(1 - narrow.high!, 12);
    }),
  );
});

it('throws for what is no count, no part or no level', () => {
  expect(() => wilsonInterval(3, 2)).toThrow('at most n');
  expect(() => wilsonInterval(1.5, 2)).toThrow('x is 1.5');
  expect(() => wilsonInterval(NaN, 2)).toThrow(RangeError);
  expect(() => wilsonInterval(1, 2, 95)).toThrow('level is 95');
});
