import fc from 'fast-check';
import { expect, it } from 'vitest';
import { newcombePairedInterval } from './newcombe-paired-interval.ts';

it('is null without a pair', () => {
  const { n, difference, low, high, phi } = newcombePairedInterval({ both: 0, gained: 0, lost: 0, neither: 0 });
  expect({ n, difference, low, high, phi }).toEqual({ n: 0, difference: null, low: null, high: null, phi: null });
});

it('takes φ as 0 where a margin is 0', () => {
  expect(newcombePairedInterval({ both: 4, gained: 0, lost: 3, neither: 0 }).phi).toBe(0);
});

// By hand: where every pair changed, the two looks are each other's opposite.
it('has a φ of −1, no less, where every pair changed', () => {
  expect(newcombePairedInterval({ both: 0, gained: 113, lost: 12, neither: 0 }).phi).toBe(-1);
});

const count = fc.nat(400);
it('contains the difference, widens with the level, and is mirrored by swapping first and second', () => {
  fc.assert(
    fc.property(count, count, count, count, (both, gained, lost, neither) => {
      fc.pre(both + gained + lost + neither > 0);
      const there = newcombePairedInterval({ both, gained, lost, neither }, 0.9);
      const back = newcombePairedInterval({ both, gained: lost, lost: gained, neither }, 0.9);
      const wide = newcombePairedInterval({ both, gained, lost, neither }, 0.95);
      expect(there.low! <= there.difference! && there.difference! <= there.high!).toBe(true);
      expect(wide.low!).toBeLessThanOrEqual(there.low! + 1e-12);
      expect(wide.high!).toBeGreaterThanOrEqual(there.high! - 1e-12);
      expect(back.difference! + there.difference!).toBeCloseTo(0, 12);
      expect(back.low! + there.high!).toBeCloseTo(0, 10);
    }),
  );
});

it('throws for a count that is none', () => {
  expect(() => newcombePairedInterval({ both: 1, gained: 0.5, lost: 1, neither: 1 })).toThrow('gained');
});
