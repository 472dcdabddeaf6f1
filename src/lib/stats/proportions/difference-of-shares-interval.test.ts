import { expect, it } from 'vitest';
import { differenceOfSharesInterval } from './difference-of-shares-interval.ts';

const first = { estimate: 0.5, low: 0.4, high: 0.6 };
const second = { estimate: 0.7, low: 0.6, high: 0.8 };

// By hand: half widths of 0.1 each make √(0.01 + 0.01) apart, 0.2 with ρ = −1, and nothing with ρ = 1.
it('adds half widths as legs of a triangle', () => {
  const apart = differenceOfSharesInterval(first, second, 0);
  expect(apart.low).toBeCloseTo(0.2 - Math.SQRT2 / 10, 12);
  expect(apart.high).toBeCloseTo(0.2 + Math.SQRT2 / 10, 12);
  expect(differenceOfSharesInterval(first, second, -1).low).toBeCloseTo(0, 12);
  expect(differenceOfSharesInterval(first, second, 1).high).toBeCloseTo(0.2, 7);
});

it('stays within −1 to 1', () => {
  const least = { estimate: 0, low: 0, high: 0.9 };
  const most = { estimate: 1, low: 0.1, high: 1 };
  expect(differenceOfSharesInterval(most, least, 0).low).toBe(-1);
  expect(differenceOfSharesInterval(least, most, 0).high).toBe(1);
});

it('throws for what is no correlation', () => {
  expect(() => differenceOfSharesInterval(first, second, 1.1)).toThrow('correlation');
});
