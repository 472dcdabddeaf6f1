// A store that is lost, damaged or not ours never becomes an empty hub.
import { spawnSync } from 'node:child_process';
import {
  chmodSync,
  closeSync,
  existsSync,
  ftruncateSync,
  mkdtempSync,
  openSync,
  readFileSync,
  readdirSync,
  renameSync,
  rmSync,
  statSync,
  writeFileSync,
  writeSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import process from 'node:process';
import { fileURLToPath } from 'node:url';
import Database from 'better-sqlite3';
import { afterEach, beforeAll, beforeEach, describe, expect, test } from 'vitest';
import { buildIfStale } from '../helpers/build-if-stale.ts';
import { freePort } from '../helpers/free-port.ts';
import { call, ORGANISER_KEY, pullAll, sighting } from '../helpers/hub/hub-client.ts';
import { startHub } from '../helpers/hub/start-hub.mjs';

const SERVE = fileURLToPath(new URL('../../build/cli/serve.js', import.meta.url));
let data = '';
const file = (name: string) => join(data, name);

beforeAll(() => buildIfStale(), 180_000);
beforeEach(() => {
  data = mkdtempSync(join(tmpdir(), 'kerbside-lost-'));
});
afterEach(() => rmSync(data, { recursive: true }));

/** Starts a hub that is expected not to come up; what it says. */
async function refused(env: Record<string, string> = {}) {
  const hub = spawnSync(process.execPath, [SERVE], {
    env: {
      ...process.env,
      PORT: String(await freePort()),
      HOST: '127.0.0.1',
      KERBSIDE_DATA: data,
      KERBSIDE_ORGANISER_KEY: '',
      ...env,
    },
    encoding: 'utf8',
    timeout: 20_000,
  });
  expect([hub.status, hub.stderr.split('\n').length]).toEqual([1, 2]);
  return hub.stderr;
}

/** A hub with one record, killed so that its log is left behind. */
async function hubWithRace() {
  const hub = await startHub({ port: await freePort(), key: '', data });
  const key = readFileSync(file('organiser-key'), 'utf8').trim();
  // The key of the folder is what this hub goes by.
  expect(key).not.toBe(ORGANISER_KEY);
  const race = {
    id: '5e0f9a52-6c1e-4b0a-9d53-00000000abcd',
    name: 'Lost Ten',
    date: '2026-10-04',
    checkpoints: [{ id: 'k5', name: 'Mill', km: 5 }],
  };
  expect((await call(hub.url, 'POST', '/races', { token: key, body: race })).status).toBe(201);
  const body = { records: [sighting(race.id, 'tab-1', 1)] };
  expect((await call(hub.url, 'POST', `/races/${race.id}/records`, { token: key, body })).status).toBe(200);
  await hub.kill();
  return { key, race };
}

describe('a store that is gone', () => {
  test.each(['missing', 'empty'] as const)(
    'is not begun anew where it is %s beside its log',
    async (how) => {
      const { key, race } = await hubWithRace();
      expect(statSync(file('hub.sqlite-wal')).size).toBeGreaterThan(0);
      renameSync(file('hub.sqlite'), file('../kept-hub.sqlite'));
      if (how === 'empty') writeFileSync(file('hub.sqlite'), '');
      const wal = readFileSync(file('hub.sqlite-wal'));
      for (let starts = 0; starts < 2; starts += 1) {
        expect(await refused()).toMatch(
          new RegExp(`hub\\.sqlite is ${how}, but hub\\.sqlite-wal beside it holds records`),
        );
      }
      // What is put back as the message says holds the race.
      renameSync(file('../kept-hub.sqlite'), file('hub.sqlite'));
      expect(readFileSync(file('hub.sqlite-wal')).equals(wal)).toBe(true);
      const hub = await startHub({ port: await freePort(), key: '', data });
      expect((await pullAll(hub.url, race.id, key)).records).toHaveLength(1);
      await hub.end();
    },
    60_000,
  );

  test('is not begun anew beside an organiser key, but with KERBSIDE_NEW=1, which keeps what was there', async () => {
    await hubWithRace();
    for (const name of readdirSync(data)) if (name !== 'organiser-key' && name !== 'hub.sqlite-wal') rmSync(file(name));
    const wal = readFileSync(file('hub.sqlite-wal'));
    rmSync(file('hub.sqlite-wal'));
    expect(await refused()).toMatch(/hub\.sqlite is missing, but the organiser key of a hub is beside it/);
    writeFileSync(file('hub.sqlite-wal'), wal);
    const hub = await startHub({ port: await freePort(), key: '', data, env: { KERBSIDE_NEW: '1' } });
    const key = readFileSync(file('organiser-key'), 'utf8').trim();
    expect((await call(hub.url, 'GET', '/races', { token: key })).body).toEqual({ races: [] });
    await openRaceWith(hub.url, key);
    await hub.kill();
    const aside = readdirSync(data).find((name) => name.startsWith('set-aside-')) ?? '';
    expect(readFileSync(file(join(aside, 'hub.sqlite-wal'))).equals(wal)).toBe(true);
    // A second start with it finds a store and leaves it alone.
    await hub.start();
    expect(((await call(hub.url, 'GET', '/races', { token: key })).body as { races: unknown[] }).races).toHaveLength(1);
    await hub.end();
  }, 60_000);

  test('is not begun anew where its file is empty', async () => {
    writeFileSync(file('hub.sqlite'), '');
    expect(await refused({ KERBSIDE_ORGANISER_KEY: ORGANISER_KEY })).toMatch(
      /hub\.sqlite is empty: a hub leaves no empty file/,
    );
  });
});

describe('a store that cannot be used', () => {
  const overwrite = (at: number, bytes: number) => {
    const handle = openSync(file('hub.sqlite'), 'r+');
    writeSync(handle, Buffer.alloc(bytes, 0x58), 0, bytes, at);
    closeSync(handle);
  };
  const cutTo = (bytes: number) => {
    const handle = openSync(file('hub.sqlite'), 'r+');
    ftruncateSync(handle, bytes);
    closeSync(handle);
  };
  const withDatabase = (work: (database: Database.Database) => void) => {
    const database = new Database(file('hub.sqlite'));
    work(database);
    database.close();
  };
  /** All in the one file. */
  const checkpointed = () => withDatabase((database) => void database.pragma('wal_checkpoint(TRUNCATE)'));

  test.each<[string, () => void, RegExp]>([
    [
      'text in its place',
      () => writeFileSync(file('hub.sqlite'), 'x'.repeat(9000)),
      /is not a database: its content was replaced/,
    ],
    ['its first page overwritten', () => overwrite(0, 4096), /is not a database: its content was replaced/],
    ['its tables overwritten', () => overwrite(100, 3996), /is damaged/],
    ['all but its first page gone', () => cutTo(4096), /is damaged/],
    [
      'a migration of a later version',
      () => withDatabase((d) => void d.exec("insert into kysely_migration values ('9999-later', '2030-01-01')")),
      /was written by a newer Kerbside \(9999-later\)/,
    ],
  ])(
    'says so: %s',
    async (_, harm, said) => {
      await hubWithRace();
      checkpointed();
      harm();
      const before = readFileSync(file('hub.sqlite'));
      const told = await refused();
      expect(told).toMatch(said);
      expect(told).not.toMatch(/choose another/i);
      expect(readFileSync(file('hub.sqlite')).equals(before)).toBe(true);
    },
    60_000,
  );

  test('says so: a database of another program', async () => {
    withDatabase((database) => void database.exec('create table recipes (name text)'));
    expect(await refused()).toMatch(/is a database of another program \(it has a table "recipes"\)/);
  });
});

test.each([
  ['too-short', /too short/],
  ['with a blank inside', /has a space in it/],
  ['schlüssel-ohne-ascii', /beyond ASCII/],
  ['x'.repeat(201), /too long/],
])('the organiser key %s is refused at the start, and nothing is made', async (key, said) => {
  expect(await refused({ KERBSIDE_ORGANISER_KEY: key })).toMatch(said);
  expect(existsSync(file('hub.sqlite'))).toBe(false);
});

test('a folder that also holds other things keeps its mode, and the hub says why', async () => {
  writeFileSync(file('holiday.jpg'), '');
  chmodSync(data, 0o755);
  const hub = await startHub({ port: await freePort(), key: ORGANISER_KEY, data });
  await hub.kill();
  expect(statSync(data).mode & 0o777).toBe(0o755);
  expect(statSync(file('hub.sqlite')).mode & 0o777).toBe(0o600);
  const told = spawnSync(process.execPath, [SERVE], {
    env: { ...process.env, PORT: String(await freePort()), KERBSIDE_DATA: data },
    encoding: 'utf8',
    timeout: 4_000,
  });
  expect(told.stderr).toContain('can be read by others and is left so: it also holds "holiday.jpg"');
  await hub.end();
}, 30_000);

async function openRaceWith(url: string, token: string) {
  const body = { id: '5e0f9a52-6c1e-4b0a-9d53-00000000abce', name: 'New Ten', date: '2026-10-04', checkpoints: [] };
  expect((await call(url, 'POST', '/races', { token, body })).status).toBe(201);
}
