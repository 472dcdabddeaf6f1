import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { countCancelled, isCancelled } from './cancelled-uploads.ts';

let lines: unknown[];
beforeEach(() => {
  vi.useFakeTimers();
  lines = [];
  vi.spyOn(console, 'error').mockImplementation((line) => lines.push(line));
});
afterEach(() => {
  vi.useRealTimers();
  vi.restoreAllMocks();
});

test('uploads that were broken off are told as one number a minute', () => {
  for (let i = 0; i < 5000; i += 1) countCancelled();
  expect(lines).toEqual([]);
  vi.advanceTimersByTime(60_000);
  expect(lines).toEqual(['5000 uploads were broken off.']);
  countCancelled();
  vi.advanceTimersByTime(60_000);
  expect(lines.slice(1)).toEqual(['1 upload was broken off.']);
  vi.advanceTimersByTime(600_000);
  expect(lines).toHaveLength(2);
});

test('an upload that was broken off is told from a hub that fails', () => {
  const abort = new AbortController();
  const request = new Request('http://hub.test/', { signal: abort.signal });
  expect(isCancelled(request, new Error('the disk is on fire'))).toBe(false);
  expect(isCancelled(request, new Error('aborted'))).toBe(true);
  abort.abort();
  expect(isCancelled(request, new Error('whatever came of it'))).toBe(true);
});
