import { expect, it } from 'vitest';
import { changeCells, seenChange } from './change-cells.ts';

// By hand: all but the last digit of the early share leaves rearfoot. Found at random: the rest came out below 0.
it('has no cell below 0 where the last digits do not add up', () => {
  const cells = changeCells({ rearfootEarly: 0.999999999999, changed: 1, toRearfoot: 0 });
  expect(cells).toMatchObject({ gained: 0, lost: 1, both: 0 });
  const { gained, lost } = seenChange(cells, 0.001, 1);
  expect(gained).toBeGreaterThanOrEqual(0);
  expect(lost).toBeLessThanOrEqual(1);
});
