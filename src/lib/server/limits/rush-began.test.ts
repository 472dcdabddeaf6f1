import { expect, test } from 'vitest';
import { rushBegan } from './rush-began.ts';

const MORNING = Date.parse('2026-10-04T06:00:00.000Z');
const HOUR = 3_600_000;
const rush = (from: number, count: number) => Array.from({ length: count }, (_, i) => from + i * 20);

test('a rush begins after those who joined before it in peace', () => {
  expect(rushBegan([])).toBeNull();
  expect(rushBegan([MORNING])).toBe(MORNING);
  expect(rushBegan([...rush(MORNING, 40), ...rush(MORNING + HOUR, 250)])).toBe(MORNING + HOUR);
  // Who joined a moment before cannot be told from it.
  expect(rushBegan([MORNING, ...rush(MORNING + 1000, 250)])).toBe(MORNING);
});
