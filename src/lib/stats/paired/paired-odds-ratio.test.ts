import fc from 'fast-check';
import { expect, it } from 'vitest';
import { pairedOddsRatio } from './paired-odds-ratio.ts';

it('has null for what is infinite or unknown, 0 for what is 0', () => {
  expect(pairedOddsRatio(0, 0)).toMatchObject({ n: 0, oddsRatio: null, low: null, high: null });
  expect(pairedOddsRatio(3, 0)).toMatchObject({ oddsRatio: null, high: null });
  expect(pairedOddsRatio(3, 0).low).toBeGreaterThan(0);
  expect(pairedOddsRatio(0, 3)).toMatchObject({ oddsRatio: 0, low: 0 });
});

it('contains the ratio, widens with the level, and is inverted by swapping', () => {
  fc.assert(
    fc.property(fc.integer({ min: 1, max: 2000 }), fc.integer({ min: 1, max: 2000 }), (b, c) => {
      const there = pairedOddsRatio(b, c, 0.9);
      const wide = pairedOddsRatio(b, c, 0.99);
      expect(there.low! <= b / c && b / c <= there.high!).toBe(true);
      expect(wide.low! < there.low! && wide.high! > there.high!).toBe(true);
      expect(pairedOddsRatio(c, b, 0.9).low! * there.high!).toBeCloseTo(1, 10);
    }),
  );
});
