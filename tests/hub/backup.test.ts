// A backup taken while devices push, restored elsewhere, has everything that was acknowledged before it began.
import { spawn } from 'node:child_process';
import { copyFileSync, mkdtempSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import process from 'node:process';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, expect, test } from 'vitest';
import type { Pushed } from '../../src/lib/wire/wire.ts';
import { buildIfStale } from '../helpers/build-if-stale.ts';
import { freePort } from '../helpers/free-port.ts';
import { call, join as joinRace, openRace, ORGANISER_KEY, pullAll, sighting } from '../helpers/hub/hub-client.ts';
import { startHub } from '../helpers/hub/start-hub.mjs';

const LAUNCH = fileURLToPath(new URL('../../src/cli/launch.mjs', import.meta.url));
const folder = mkdtempSync(join(tmpdir(), 'kerbside-backup-'));
let hub: Awaited<ReturnType<typeof startHub>>;

beforeAll(async () => {
  await buildIfStale();
  hub = await startHub({ port: await freePort(), key: ORGANISER_KEY });
}, 180_000);
afterAll(async () => {
  await hub.end();
  rmSync(folder, { recursive: true });
});

/** Runs `kerbside hub …`. */
async function kerbsideHub(...args: string[]) {
  const env = { ...process.env, DATABASE_URL: '' };
  const run = spawn(process.execPath, [LAUNCH, 'hub', ...args], { env, stdio: ['ignore', 'pipe', 'pipe'] });
  const said = { out: '', err: '' };
  run.stdout.on('data', (piece: Buffer) => (said.out += piece.toString()));
  run.stderr.on('data', (piece: Buffer) => (said.err += piece.toString()));
  const code = await new Promise((resolve) => run.once('close', resolve));
  return { code, ...said };
}

test('a backup under load holds all that was acknowledged before it, and is restored with it', async () => {
  const { race, codes } = await openRace(hub.url);
  const acknowledged: string[] = [];
  let pushing = true;
  const pushers = Promise.all(
    Array.from({ length: 4 }, async (_, d) => {
      const { token } = await joinRace(hub.url, codes.observer, `tab-${d}`);
      for (let seq = 1; pushing; seq += 50) {
        const records = Array.from({ length: 50 }, (_, i) => sighting(race.id, `tab-${d}`, seq + i));
        const { body } = await call(hub.url, 'POST', `/races/${race.id}/records`, { token, body: { records } });
        expect((body as Pushed).accepted).toBe(50);
        acknowledged.push(...records.map(({ id }) => id));
      }
    }),
  );
  await expect.poll(() => acknowledged.length, { timeout: 20_000 }).toBeGreaterThan(2000);
  const before = [...acknowledged];
  const { cursor } = await pullAll(hub.url, race.id, ORGANISER_KEY);
  const backup = join(folder, 'race-day.sqlite');
  const made = await kerbsideHub('backup', '--to', backup, '--data', hub.data);
  const during = acknowledged.length - before.length;
  pushing = false;
  await pushers;
  expect(made).toMatchObject({ code: 0, err: '' });
  expect(during).toBeGreaterThan(0);
  expect(statSync(backup).mode & 0o777).toBe(0o600);
  expect(readdirSync(folder)).toEqual(['race-day.sqlite']);
  expect((await kerbsideHub('check', '--from', backup)).out).toMatch(
    /is sound: 1 race\n {2}Invented Ten, 2026-10-04: \d+ records/,
  );

  const data = join(folder, 'elsewhere');
  expect((await kerbsideHub('restore', '--from', backup, '--data', data)).code).toBe(0);
  const restored = await startHub({ port: await freePort(), key: ORGANISER_KEY, data });
  try {
    const held = new Set((await pullAll(restored.url, race.id, ORGANISER_KEY)).records.map(({ id }) => id));
    expect(before.filter((id) => !held.has(id))).toEqual([]);
    // Arrivals are numbered anew from here: who read further before must begin again.
    const old = await call(restored.url, 'GET', `/races/${race.id}/records?after=${cursor}`, { token: ORGANISER_KEY });
    expect([old.status, (old.body as { error: { code: string } }).error.code]).toEqual([400, 'unknown-cursor']);
  } finally {
    await restored.end();
  }
}, 90_000);

test('nothing is overwritten: neither a file, nor the store, nor the store of a hub that runs', async () => {
  const file = join(folder, 'notes');
  writeFileSync(file, 'mine');
  const store = join(hub.data, 'hub.sqlite');
  expect(await kerbsideHub('backup', '--to', file, '--data', hub.data)).toMatchObject({ code: 2, out: '' });
  expect(readFileSync(file, 'utf8')).toBe('mine');
  expect((await kerbsideHub('backup', '--to', store, '--data', hub.data, '--force')).err).toMatch(
    /same file as the input/,
  );
  expect((await kerbsideHub('backup', '--to', file, '--data', hub.data, '--force')).code).toBe(0);
  const running = await kerbsideHub('restore', '--from', file, '--data', hub.data);
  expect(running).toMatchObject({ code: 2, err: `${hub.data}: a hub runs on this folder; stop it first\n` });
  await hub.kill();
  const restored = await kerbsideHub('restore', '--from', file, '--data', hub.data);
  expect(restored.err).toMatch(/^What was there is now in .*set-aside-/);
  expect(restored.code).toBe(0);
  await hub.start();
}, 60_000);

test('what is no sound store is said and not restored', async () => {
  const bad = join(folder, 'bad');
  writeFileSync(bad, 'no database at all, and long enough to be looked at'.repeat(99));
  expect(await kerbsideHub('check', '--from', bad)).toMatchObject({ code: 2, err: `${bad}: It is not a database.\n` });
  const good = join(folder, 'good.sqlite');
  await kerbsideHub('backup', '--to', good, '--data', hub.data);
  const bytes = readFileSync(good);
  bytes.fill(0x58, 8192, 12_288);
  writeFileSync(good, bytes);
  copyFileSync(good, join(folder, 'harmed'));
  const target = join(folder, 'nowhere');
  expect((await kerbsideHub('restore', '--from', good, '--data', target)).code).toBe(2);
  expect(readdirSync(target)).toEqual([]);
  expect((await kerbsideHub('check', '--data', join(folder, 'none'))).err).toMatch(/there is no store/);
  expect((await kerbsideHub('check', '--from', join(folder, 'none'))).err).toMatch(/There is no such file/);
}, 60_000);
