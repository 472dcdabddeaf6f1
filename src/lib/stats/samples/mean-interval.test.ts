import { expect, it } from 'vitest';
import { meanInterval } from './mean-interval.ts';

it('is the interval of Student’s sleep data, second drug less first (Student 1908; R prints 0.70 to 2.46)', () => {
  const gains = [1.2, 2.4, 1.3, 1.3, 0, 1, 1.8, 0.8, 4.6, 1.4];
  const { mean, low, high } = meanInterval(gains);
  expect(mean).toBeCloseTo(1.58, 12);
  expect(low).toBeCloseTo(0.7001142, 6);
  expect(high).toBeCloseTo(2.4598858, 6);
});

it('has no interval of one value or of equal ones, and nothing of none', () => {
  expect(meanInterval([])).toMatchObject({ n: 0, mean: null, sd: null, low: null });
  expect(meanInterval([3])).toMatchObject({ n: 1, mean: 3, sd: null, low: null });
  expect(meanInterval([0.1 + 0.2, 0.3])).toMatchObject({ n: 2, sd: 0, low: null });
});

it('throws for what is no number and no level', () => {
  expect(() => meanInterval([NaN])).toThrow('value is NaN');
  expect(() => meanInterval([1, 2], 95)).toThrow('level is 95');
});
