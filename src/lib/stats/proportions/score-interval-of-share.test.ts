import fc from 'fast-check';
import { expect, it } from 'vitest';
import { scoreIntervalOfShare } from './score-interval-of-share.ts';
import { wilsonInterval } from './wilson-interval.ts';

// Printed by R. G. Newcombe, Statistics in Medicine 17 (1998) 857-872, for 81 of 263: 0.2553 to 0.3662.
it('is the printed interval of a counted share', () => {
  const { low, high } = scoreIntervalOfShare(81 / 263, 263);
  expect(low).toBeCloseTo(0.2553, 4);
  expect(high).toBeCloseTo(0.3662, 4);
});

it('is the Wilson interval of any counted share', () => {
  fc.assert(
    fc.property(fc.integer({ min: 1, max: 2000 }), fc.double({ min: 0, max: 1, noNaN: true }), (n, part) => {
      const x = Math.round(part * n);
      const wilson = wilsonInterval(x, n, 0.9);
      const { low, high } = scoreIntervalOfShare(x / n, n, 0.9);
      expect(low).toBeCloseTo(wilson.low!, 12);
      expect(high).toBeCloseTo(wilson.high!, 12);
    }),
  );
});

it('throws for what is no share and no number of trials', () => {
  expect(() => scoreIntervalOfShare(1.1, 5)).toThrow('share');
  expect(() => scoreIntervalOfShare(0.5, 0)).toThrow('n is');
});
