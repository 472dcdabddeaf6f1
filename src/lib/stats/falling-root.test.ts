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

it('asks the function some dozens of times at most, also for a root far below the first end', () => {
  for (const root of [1e-12, 3e-5, 0.7]) {
    let asked = 0;
    const found = fallingRoot((x) => {
      asked += 1;
      return 1 / (1 + x) - 1 / (1 + root);
    }, 1);
    expect(Math.abs(found / root - 1)).toBeLessThan(1e-3);
    expect(asked).toBeLessThan(120);
  }
});
