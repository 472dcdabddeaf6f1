import { expect, it } from 'vitest';
import { differences, publishedFor } from '../../../../tests/helpers/findings/published.ts';
import { langReiczigelInterval, type ImperfectTest } from './lang-reiczigel-interval.ts';

type Input = ImperfectTest & { positive: number; level: number };

it.each(publishedFor('langReiczigel'))('%s', (_, example) => {
  const { level, ...test } = example.input as unknown as Input;
  const found = langReiczigelInterval({ ...test, positive: test.positive / test.tested }, level);
  expect(differences(example, found)).toEqual([]);
});

const test: ImperfectTest = {
  positive: 0.3,
  tested: 150,
  sensitivity: 0.96,
  sensitivityOf: 50,
  specificity: 0.89,
  specificityOf: 50,
};

it('gets wider the less the test was tried', () => {
  const well = langReiczigelInterval({ ...test, sensitivityOf: 5000, specificityOf: 5000 });
  const badly = langReiczigelInterval({ ...test, sensitivityOf: 10, specificityOf: 10 });
  expect(badly.high! - badly.low!).toBeGreaterThan(well.high! - well.low!);
});

it('is null where it lies outside 0 to 1, and where the test tells nothing', () => {
  const never = { ...test, positive: 0, tested: 1e6, specificity: 0.6, specificityOf: 1e6 };
  expect(langReiczigelInterval(never)).toEqual({ low: null, high: null });
  expect(langReiczigelInterval({ ...test, sensitivity: 0.2, specificity: 0.2 }).low).toBeNull();
});

it('throws for what is no share and no number of units', () => {
  expect(() => langReiczigelInterval({ ...test, positive: 2 })).toThrow('positive');
  expect(() => langReiczigelInterval({ ...test, specificityOf: 0 })).toThrow('specificityOf');
});
