import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join as joinPath } from 'node:path';
import { expect, test } from 'vitest';
import { openHub } from '../hub.ts';
import { openRace } from '../lists/races.ts';
import { join } from './join.ts';
import { codeHasRunOut, givenCodesDays } from './join-code.ts';

test.each([
  [undefined, '2126-10-04T00:00:00.000Z', false],
  [7, '2026-10-11T23:59:59.999Z', false],
  // That day has not ended everywhere.
  [7, '2026-10-12T11:59:59.999Z', false],
  [7, '2026-10-12T12:00:00.000Z', true],
  [0, '2026-10-05T12:00:00.000Z', true],
])('codes of a race on 4 October that hold %s days: at %s run out: %s', (days, now, ended) => {
  expect(codeHasRunOut('2026-10-04', days, Date.parse(now))).toBe(ended);
});

test('what is no number of days keeps the hub from starting', () => {
  expect([givenCodesDays(undefined), givenCodesDays(''), givenCodesDays('7')]).toEqual([undefined, undefined, 7]);
  for (const given of ['-1', '7 days', '1.5', '1e3', '99999']) expect(() => givenCodesDays(given)).toThrow(given);
});

test('a code lets nobody in after its days', async () => {
  const dataFolder = mkdtempSync(joinPath(tmpdir(), 'kerbside-codes-'));
  let now = Date.parse('2026-10-04T06:00:00.000Z');
  const hub = await openHub({
    ...{ dataFolder, databaseUrl: undefined, organiserKey: 'invented-organiser-key', codesDays: 7 },
    now: () => now,
  });
  try {
    const opened = await openRace(hub, {
      ...{ id: '5e0f9a52-6c1e-4b0a-9d53-0000000000a1', name: 'Invented Ten', date: '2026-10-04' },
      checkpoints: [{ id: 'k5', name: 'Mill', km: 5 }],
    });
    const code = opened.ok ? opened.value.codes.observer : '';
    const joinAs = (device: string) => join(hub, { message: { code, device }, shown: null, address: '192.0.2.7' });
    expect((await joinAs('tab-1')).ok).toBe(true);
    now = Date.parse('2026-10-13T06:00:00.000Z');
    expect(await joinAs('tab-2')).toMatchObject({ ok: false, error: { type: 'unknown-code' } });
  } finally {
    await hub.adapter.close();
    rmSync(dataFolder, { recursive: true });
  }
});
