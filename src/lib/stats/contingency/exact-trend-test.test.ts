import fc from 'fast-check';
import { expect, it } from 'vitest';
import { exactTrendTest } from './exact-trend-test.ts';

// By counting: of the 495 ways to place 4 of 12 in three groups of 4, the sums of scores at least as far
// from 8 as 10 is.
it('adds up the tables at least as far from the mean', () => {
  let far = 0;
  let all = 0;
  const choose4 = [1, 4, 6, 4, 1];
  for (let a = 0; a <= 4; a += 1) {
    for (let b = 0; a + b <= 4; b += 1) {
      const ways = choose4[a]! * choose4[b]! * choose4[4 - a - b]!;
      all += ways;
      if (Math.abs(a + 2 * b + 3 * (4 - a - b) - 8) >= 2) far += ways;
    }
  }
  expect(all).toBe(495);
  expect(exactTrendTest([1, 0, 3], [4, 4, 4]).p).toBeCloseTo(far / all, 14);
});

it('is null with one group, one score, one outcome, or more than 300 of the rarer', () => {
  for (const [x, n, scores] of [
    [[], [], []],
    [
      [3, 0],
      [5, 0],
      [1, 2],
    ],
    [
      [3, 1],
      [5, 6],
      [2, 2],
    ],
    [
      [5, 6],
      [5, 6],
      [1, 2],
    ],
    [
      [0, 0],
      [5, 6],
      [1, 2],
    ],
    [
      [151, 150],
      [400, 500],
      [1, 2],
    ],
  ] as const) {
    expect(exactTrendTest(x, n, scores).p).toBeNull();
  }
});

it('is the same for the other outcome, for scores turned round, and never above 1', () => {
  const group = fc.tuple(fc.nat(20), fc.nat(20)).filter(([x, rest]) => x + rest > 0);
  fc.assert(
    fc.property(fc.array(group, { minLength: 2, maxLength: 5 }), (groups) => {
      const n = groups.map(([x, rest]) => x + rest);
      const { p } = exactTrendTest(
        groups.map(([x]) => x),
        n,
      );
      const other = exactTrendTest(
        groups.map(([, rest]) => rest),
        n,
      );
      const turned = exactTrendTest(groups.map(([x]) => x).reverse(), [...n].reverse());
      if (p === null) return;
      expect(p).toBeGreaterThan(0);
      expect(p).toBeLessThanOrEqual(1);
      expect(other.p).toBeCloseTo(p, 12);
      expect(turned.p).toBeCloseTo(p, 12);
    }),
  );
});

it('throws for lengths that differ and scores that are not whole', () => {
  expect(() => exactTrendTest([1], [2, 3])).toThrow('differ in length');
  expect(() => exactTrendTest([1, 1], [2, 3], [1, 2.5])).toThrow('scores');
});
