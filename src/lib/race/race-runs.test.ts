import { expect, test } from 'vitest';
import { raceRuns } from './race-runs.ts';

test.each([
  ['2026-10-03T12:00:00Z', true],
  ['2026-10-04T21:59:59Z', true],
  // Midnight in Berlin, summer time.
  ['2026-10-04T22:00:00Z', false],
  ['2026-10-09T00:00:00Z', false],
])('at %s the race of 4 October in Berlin runs: %s', (at, runs) => {
  expect(raceRuns({ date: '2026-10-04', timeZone: 'Europe/Berlin' }, Date.parse(at))).toBe(runs);
});
