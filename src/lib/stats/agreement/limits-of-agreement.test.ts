import { expect, it } from 'vitest';
import { limitsOfAgreement } from './limits-of-agreement.ts';

it('is mean ± 1.96 SD, so that −2.1 ± 38.8 litres a minute lie between −78.1 and 73.9 (Bland and Altman 1986)', () => {
  // Two values with that mean and standard deviation.
  const half = 38.8 / Math.SQRT2;
  const { low, high } = limitsOfAgreement([-2.1 - half, -2.1 + half]);
  expect(low).toBeCloseTo(-78.1, 1);
  expect(high).toBeCloseTo(73.9, 1);
});

it('has no limits of one difference, and both are the difference where all are alike', () => {
  expect(limitsOfAgreement([4])).toMatchObject({ n: 1, mean: 4, sd: null, low: null });
  expect(limitsOfAgreement([2, 2, 2])).toMatchObject({ sd: 0, low: 2, high: 2 });
  expect(limitsOfAgreement([])).toMatchObject({ n: 0, mean: null });
});
