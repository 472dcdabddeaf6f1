import { describe, expect, it } from 'vitest';
import { connorPairs } from './connor-pairs.ts';

describe('connorPairs', () => {
  // R: (qnorm(a/2, lower = FALSE)·sqrt(c) + qnorm(p)·sqrt(c − d²))² / d²
  it.each([
    [0.11, 0.0748, 0.05, 0.8, 151.9316986084271],
    [0.4, -0.2, 0.01, 0.9, 143.7635090087018],
    [0.3, 0.3, 0.05, 0.8, 23.6583593919456],
  ])('of %d changed, %d difference', (changed, difference, alpha, power, pairs) => {
    expect(connorPairs(changed, difference, alpha, power)).toBeCloseTo(pairs, 9);
  });

  it('is null without a difference and refuses one greater than the change', () => {
    expect(connorPairs(0.1, 0)).toBeNull();
    expect(() => connorPairs(0.1, 0.2)).toThrow(RangeError);
    expect(() => connorPairs(0.1, 0.05, 5)).toThrow(RangeError);
  });
});
