import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join as joinPath } from 'node:path';
import { sql } from 'kysely';
import { expect, test } from 'vitest';
import { openPostgres } from '../../src/lib/server/database/postgres-adapter.ts';
import { openSqlite } from '../../src/lib/server/database/sqlite-adapter.ts';
import { freePort } from '../helpers/free-port.ts';
import { call, openRace, ORGANISER_KEY, pullAll, sighting } from '../helpers/hub/hub-client.ts';
import { killWhilePushing } from '../helpers/hub/hub-load.ts';
import { seededRandom } from '../helpers/seeded-random.mjs';
import { sharedPostgres } from '../helpers/hub/shared-postgres.ts';
import { startHub } from '../helpers/hub/start-hub.mjs';

const SMALL = { devices: 10, perDevice: 100, batch: 20, kills: 3 };
const postgres = sharedPostgres();

const whole = { pushed: 1000, acknowledged: 1000, held: 1000, missingAcknowledged: 0, twice: 0, notPushed: 0 };

test('SQLite flushes each commit', async () => {
  const folder = mkdtempSync(joinPath(tmpdir(), 'kerbside-sqlite-'));
  const adapter = await openSqlite(folder);
  const { rows } = await sql<{ synchronous: number }>`pragma synchronous`.execute(adapter.db);
  const { rows: mode } = await sql<{ journal_mode: string }>`pragma journal_mode`.execute(adapter.db);
  expect([rows[0]?.synchronous, mode[0]?.journal_mode]).toEqual([2, 'wal']);
  await adapter.close();
  rmSync(folder, { recursive: true });
});

test('PostgreSQL flushes each commit', async () => {
  const adapter = await openPostgres(await postgres.newDatabase('settings'));
  const { rows } = await sql<{ fsync: string; commit: string }>`
    select current_setting('fsync') as fsync, current_setting('synchronous_commit') as commit`.execute(adapter.db);
  expect(rows).toEqual([{ fsync: 'on', commit: 'on' }]);
  await adapter.close();
});

test('a hub on SQLite that is killed keeps what it acknowledged, once', async () => {
  const hub = await startHub({ port: await freePort(), key: ORGANISER_KEY });
  expect(await killWhilePushing([hub], SMALL, seededRandom(1))).toMatchObject(whole);
  await hub.end();
}, 90_000);

test('two hubs on one PostgreSQL keep what they acknowledged, once, when one is killed', async () => {
  const env = { DATABASE_URL: await postgres.newDatabase('killed') };
  const one = await startHub({ port: await freePort(), key: ORGANISER_KEY, env });
  const two = await startHub({ port: await freePort(), key: ORGANISER_KEY, env });
  expect(await killWhilePushing([one, two], SMALL, seededRandom(2))).toMatchObject(whole);
  await one.end();
  await two.end();
}, 90_000);

test('a full disk is said and nothing acknowledged is lost', async ({ skip }) => {
  const folder = mkdtempSync(joinPath(tmpdir(), 'kerbside-full-'));
  const mount = (options: string) => spawnSync('mount', ['-t', 'tmpfs', '-o', options, 'tmpfs', folder]).status === 0;
  if (!mount('size=4m')) {
    rmSync(folder, { recursive: true });
    const reason = 'a full disk was not tried: mounting a small file system needs root and tmpfs';
    // The short report counts what was skipped and leaves out why.
    console.warn(reason);
    skip(reason);
  }
  const hub = await startHub({ port: await freePort(), key: ORGANISER_KEY, data: folder });
  try {
    const { race } = await openRace(hub.url);
    const acknowledged: string[] = [];
    const push = async (records: ReturnType<typeof sighting>[]) =>
      call(hub.url, 'POST', `/races/${race.id}/records`, { token: ORGANISER_KEY, body: { records } });
    const batch = (n: number) => Array.from({ length: 200 }, (_, i) => sighting(race.id, 'tab-1', n * 200 + i + 1));
    let full = 0;
    for (let n = 0; n < 200 && full < 3; n += 1) {
      const records = batch(n);
      const { status, body } = await push(records);
      if (status === 200) acknowledged.push(...records.map(({ id }) => id));
      else {
        full += 1;
        expect([status, (body as { error: { code: string } }).error.code]).toEqual([503, 'unavailable']);
      }
    }
    expect(full).toBe(3);
    expect(acknowledged.length).toBeGreaterThan(0);
    const { records } = await pullAll(hub.url, race.id, ORGANISER_KEY);
    expect(records.map(({ id }) => id)).toEqual(acknowledged);
    expect(mount('remount,size=64m')).toBe(true);
    expect((await push(batch(500))).status).toBe(200);
    await hub.kill();
    await hub.start();
    expect((await pullAll(hub.url, race.id, ORGANISER_KEY)).records).toHaveLength(acknowledged.length + 200);
  } finally {
    await hub.end();
    spawnSync('umount', [folder]);
    rmSync(folder, { recursive: true, force: true });
  }
}, 60_000);
