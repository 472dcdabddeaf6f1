import { expect, it } from 'vitest';
import { standardisedProportion } from './standardised-proportion.ts';

const nothing = { share: null, low: null, high: null };

it('is null without a population, and where a stratum that has one was not sampled', () => {
  expect(standardisedProportion([])).toMatchObject({ n: 0, ...nothing });
  expect(standardisedProportion([{ population: 0, sampled: 0, successes: 0 }])).toMatchObject(nothing);
  const seen = { population: 10, sampled: 5, successes: 2 };
  expect(standardisedProportion([seen, { population: 4, sampled: 0, successes: 0 }])).toMatchObject({
    n: 5,
    ...nothing,
  });
});

it('gives no weight to a stratum without population, and no ends without variation', () => {
  const seen = { population: 10, sampled: 5, successes: 2 };
  const empty = { population: 0, sampled: 0, successes: 0 };
  expect(standardisedProportion([seen, empty])).toEqual(standardisedProportion([seen]));
  expect(standardisedProportion([{ population: 9, sampled: 3, successes: 3 }])).toMatchObject({
    share: 1,
    low: null,
    high: null,
  });
});

it('widens with the level and is cut at 0 and 1', () => {
  const strata = [
    { population: 10, sampled: 4, successes: 3 },
    { population: 30, sampled: 9, successes: 8 },
  ];
  const narrow = standardisedProportion(strata, 0.8);
  const wide = standardisedProportion(strata, 0.999);
  expect(wide.low!).toBeLessThan(narrow.low!);
  expect(wide.high).toBe(1);
});

it('throws where a part exceeds its whole', () => {
  expect(() => standardisedProportion([{ population: 4, sampled: 5, successes: 1 }])).toThrow('exceeds its whole');
});
