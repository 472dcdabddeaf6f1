import { expect, it } from 'vitest';
import { fallingRoot } from './falling-root.ts';

it('finds the root to the last digit, however far the first end was off', () => {
  for (const start of [1e-9, 1, 1e9]) expect(fallingRoot((x) => 2 - x * x, start)).toBeCloseTo(Math.SQRT2, 15);
});

it('is 0 where the function does not begin above 0, and throws where it never falls', () => {
  expect(fallingRoot((x) => -x, 1)).toBe(0);
  expect(fallingRoot(() => -1, 1)).toBe(0);
  expect(() => fallingRoot(() => 1, 1)).toThrow('does not fall');
});
