import { expect, test } from 'vitest';
import { clockJump } from './clock-jump.ts';

const HOUR = 3_600_000;
const YEAR = 365 * 24 * HOUR;
const before = { wall: Date.parse('2026-10-25T00:59:58.000Z'), steady: 5_000 };
const after = (passed: number, set = 0) => ({ wall: before.wall + passed + set, steady: before.steady + passed });

test('a clock that runs on has not jumped, over the end of summer time too', () => {
  // Central European summer time ends at 01:00 UTC on that day.
  for (const passed of [0, 5_000, HOUR, 30 * HOUR]) expect(clockJump(before, after(passed), false)).toBe(0);
  // Put right by the network.
  expect(clockJump(before, after(5_000, 40_000), false)).toBe(0);
});

test.each([2 * HOUR, -2 * HOUR, 20 * YEAR, -56 * YEAR, 60_000])('set by %d ms', (set) => {
  expect(clockJump(before, after(5_000, set), false)).toBe(set);
});

test('a device that slept has not been set ahead, but can have been set back or by years', () => {
  expect(clockJump(before, after(5_000, 9 * HOUR), true)).toBe(0);
  expect(clockJump(before, after(5_000, -HOUR), true)).toBe(-HOUR);
  expect(clockJump(before, after(5_000, YEAR), true)).toBe(YEAR);
});
