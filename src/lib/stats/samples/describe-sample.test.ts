import { expect, it } from 'vitest';
import { describeSample } from './describe-sample.ts';

it('is null of nothing, and that value of one', () => {
  expect(describeSample([])).toEqual({ n: 0, mean: null, q1: null, median: null, q3: null });
  expect(describeSample([4])).toEqual({ n: 1, mean: 4, q1: 4, median: 4, q3: 4 });
});

it('takes any order and leaves it as it was', () => {
  const values = [10, 2, 9, 1, 8, 3, 7, 4, 6, 5];
  expect(describeSample(values)).toEqual({ n: 10, mean: 5.5, q1: 3.25, median: 5.5, q3: 7.75 });
  expect(values[0]).toBe(10);
});

it('throws for NaN', () => {
  expect(() => describeSample([1, NaN])).toThrow('NaN');
});
