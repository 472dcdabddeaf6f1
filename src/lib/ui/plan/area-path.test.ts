import { expect, test } from 'vitest';
import { areaPath, hourTicks } from './area-path.ts';

test('a count by minute is drawn in steps down to the base line', () => {
  expect(areaPath([2, 3], 10, (minute) => minute, (n) => 10 - n)).toBe('M10.0 10.0V8.0H11.0V7.0H12.0V10.0Z'); // prettier-ignore
  expect(areaPath([], 0, Number, Number)).toBe('');
});

test('times along the axis are round and have room', () => {
  expect(hourTicks(33, 110, 390)).toEqual([45, 60, 75, 90, 105]);
  expect(hourTicks(33, 340, 390)).toEqual([60, 120, 180, 240, 300]);
  expect(hourTicks(0, 3, 390)).toEqual([0]);
});
