import fc from 'fast-check';
import { expect, it } from 'vitest';
import { mannWhitneyTest } from './mann-whitney-test.ts';
import { rankWithTies } from './rank-with-ties.ts';

it('is null with an empty group; with all values equal p is null and delta 0', () => {
  expect(mannWhitneyTest(rankWithTies([1, 2]), [1, 1])).toMatchObject({
    first: 2,
    second: 0,
    statistic: null,
    p: null,
    cliffsDelta: null,
  });
  expect(mannWhitneyTest(rankWithTies([3, 3, 3]), [1, 0, 0])).toMatchObject({ statistic: 1, p: null, cliffsDelta: 0 });
});

it('counts the pairs in which the first is greater, ties half; swapping the groups mirrors delta and keeps p', () => {
  fc.assert(
    fc.property(
      fc.array(fc.tuple(fc.integer({ min: 0, max: 8 }), fc.nat(1)), { minLength: 1, maxLength: 40 }),
      (sample) => {
        const ranked = rankWithTies(sample.map(([value]) => value));
        const inFirst = sample.map(([, first]) => first);
        const test = mannWhitneyTest(ranked, inFirst);
        let u = 0;
        for (const [a, f] of sample)
          for (const [b, g] of sample) if (f === 1 && g === 0) u += a > b ? 1 : a === b ? 0.5 : 0;
        if (test.statistic !== null) expect(test.statistic).toBeCloseTo(u, 9);
        const mirrored = mannWhitneyTest(
          ranked,
          inFirst.map((first) => 1 - first),
        );
        expect(mirrored.p).toEqual(test.p === null ? null : expect.closeTo(test.p, 10));
        if (test.cliffsDelta !== null) expect(mirrored.cliffsDelta! + test.cliffsDelta).toBeCloseTo(0, 10);
        if (test.p !== null) expect(test.p >= 0 && test.p <= 1).toBe(true);
      },
    ),
  );
});

it('throws for a mark other than 0 and 1', () => {
  expect(() => mannWhitneyTest(rankWithTies([1, 2]), [0, 2])).toThrow('group 2');
});
