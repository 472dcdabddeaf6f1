import fc from 'fast-check';
import { expect, it } from 'vitest';
import { mcnemarTest } from './mcnemar-test.ts';

it('is null without a discordant pair', () => {
  const { n, statistic, df, p, exactP, midP } = mcnemarTest(0, 0);
  expect([n, statistic, df, p, exactP, midP]).toEqual([0, null, null, null, null, null]);
});

it('is 1 three times where as many gained as lost', () => {
  expect(mcnemarTest(4, 4)).toMatchObject({ statistic: 0, p: 1, exactP: 1, midP: 1 });
});

// By hand: all of n pairs one way; exact 2·2⁻ⁿ, mid-p 2⁻ⁿ.
it('is a power of two where all went one way, down into far tails', () => {
  for (const n of [1, 10, 300, 990]) {
    expect(mcnemarTest(n, 0).exactP! / (2 * 2 ** -n)).toBeCloseTo(1, 11);
    expect(mcnemarTest(0, n).midP! / 2 ** -n).toBeCloseTo(1, 11);
  }
});

it('does not care which way is which; p-values lie in 0 to 1, mid-p below exact', () => {
  fc.assert(
    fc.property(fc.nat(3000), fc.nat(3000), (b, c) => {
      fc.pre(b + c > 0);
      const test = mcnemarTest(b, c);
      expect(mcnemarTest(c, b)).toEqual(test);
      for (const p of [test.p!, test.exactP!, test.midP!]) expect(p >= 0 && p <= 1).toBe(true);
      expect(test.midP!).toBeLessThanOrEqual(test.exactP!);
    }),
  );
});

// Found at random: the tail rounds to 0 where R 4.2.2 still has its least double.
it('is not below 0 where the tail is hardly a double any more', () => {
  expect(mcnemarTest(243, 1923)).toMatchObject({ exactP: 0, midP: 0 });
});

it('throws for a count that is none', () => {
  expect(() => mcnemarTest(-1, 2)).toThrow('gained');
  expect(() => mcnemarTest(1, NaN)).toThrow('lost');
});
