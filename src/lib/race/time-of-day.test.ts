import { expect, test } from 'vitest';
import { timeOfDay } from './time-of-day.ts';

test('an instant is told by the clocks of the race', () => {
  const instant = '2026-10-04T07:05:09.900Z';
  expect(timeOfDay({ timeZone: 'Europe/Berlin' })(instant)).toBe('09:05:09');
  expect(timeOfDay({ timeZone: 'America/New_York' }, 'short')(Date.parse(instant))).toBe('03:05');
  expect(timeOfDay({ timeZone: 'Europe/Berlin' })('2026-10-03T22:00:00Z')).toBe('00:00:00');
});
