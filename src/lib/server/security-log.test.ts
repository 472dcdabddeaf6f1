import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { SecurityLog } from './security-log.ts';

const NOW = Date.parse('2026-10-04T07:30:00.000Z');
let lines: string[];
let log: SecurityLog;

beforeEach(() => {
  vi.useFakeTimers({ now: NOW });
  lines = [];
  log = new SecurityLog(Date.now, (line) => lines.push(line));
});
afterEach(() => {
  vi.useRealTimers();
});

test('says when, what and from where, one line each', () => {
  log.refused('wrong-role', 'GET /api/v1/races/[race]/limits', '192.0.2.7');
  log.done('race-erased', '5e0f9a52-6c1e-4b0a-9d53-000000000001', null);
  log.done('joined', '5e0f9a52-6c1e-4b0a-9d53-000000000001', 'tab\n1', 'as observer');
  expect(lines).toEqual([
    '2026-10-04T07:30:00.000Z wrong-role: GET /api/v1/races/[race]/limits from 192.0.2.7',
    '2026-10-04T07:30:00.000Z race-erased: race 5e0f9a52-6c1e-4b0a-9d53-000000000001 by the organiser',
    '2026-10-04T07:30:00.000Z joined: race 5e0f9a52-6c1e-4b0a-9d53-000000000001 by device "tab\\n1", as observer',
  ]);
});

test('what is at nobody’s door is not noted', () => {
  log.refused('malformed', 'POST /api/v1/races', '192.0.2.7');
  log.refused('revision', 'PUT /api/v1/races/[race]', '192.0.2.7');
  expect(lines).toEqual([]);
});

test('a flood is counted, and begins anew after a minute', () => {
  for (let i = 0; i < 5000; i += 1) log.refused('unknown-token', 'GET /api/v1/races/[race]', '192.0.2.7');
  log.refused('wrong-role', 'GET /api/v1/races/[race]/limits', '192.0.2.8');
  expect(lines).toHaveLength(11);
  vi.advanceTimersByTime(60_000);
  expect(lines.at(-1)).toBe('2026-10-04T07:31:00.000Z unknown-token: 4990 more within a minute');
  log.refused('unknown-token', 'GET /api/v1/races/[race]', '192.0.2.7');
  expect(lines).toHaveLength(13);
});
