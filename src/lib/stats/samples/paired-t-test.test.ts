import { expect, it } from 'vitest';
import { pairedTTest } from './paired-t-test.ts';

it('is t = 4.0621, p = 0.002833 on Student’s sleep data (Student 1908, as R’s help of t.test prints it)', () => {
  const first = [0.7, -1.6, -0.2, -1.2, -0.1, 3.4, 3.7, 0.8, 0, 2];
  const second = [1.9, 0.8, 1.1, 0.1, -0.1, 4.4, 5.5, 1.6, 4.6, 3.4];
  const test = pairedTTest(first, second);
  expect(test.statistic).toBeCloseTo(4.0621, 4);
  expect(test.p).toBeCloseTo(0.002833, 6);
  expect(test).toMatchObject({ n: 10, df: 9 });
});

it('has no test of one pair, or where all change alike', () => {
  expect(pairedTTest([1], [3])).toMatchObject({ n: 1, difference: 2, p: null });
  expect(pairedTTest([1, 2], [2, 3])).toMatchObject({ difference: 1, statistic: null, low: null });
  expect(pairedTTest([], [])).toMatchObject({ n: 0, difference: null });
});

it('throws for lists of unequal length', () => {
  expect(() => pairedTTest([1], [])).toThrow('expected pairs');
});
