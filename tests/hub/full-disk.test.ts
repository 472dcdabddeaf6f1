// A hub whose disk is full goes on reading, says so, and takes records again once there is room.
import { spawnSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { buildIfStale } from '../helpers/build-if-stale.ts';
import { freePort } from '../helpers/free-port.ts';
import { call, join as joinRace, openRace, ORGANISER_KEY, pullAll, sighting } from '../helpers/hub/hub-client.ts';
import { startHub } from '../helpers/hub/start-hub.mjs';

const folder = mkdtempSync(join(tmpdir(), 'kerbside-full-'));
const disk = join(folder, 'disk');
mkdirSync(disk);
// A small disk of its own needs the right to mount one.
const mounted = spawnSync('mount', ['-t', 'tmpfs', '-o', 'size=3m', 'none', disk]).status === 0;
// The short report counts what was skipped and leaves out why.
if (!mounted) console.warn('a full disk was not tried: mounting a small one needs root and tmpfs');

beforeAll(() => buildIfStale(), 180_000);
afterAll(() => {
  if (mounted) spawnSync('umount', [disk]);
  rmSync(folder, { recursive: true });
});

test.skipIf(!mounted)(
  'a full disk stops writing alone',
  async () => {
    const hub = await startHub({ port: await freePort(), key: ORGANISER_KEY, data: disk });
    try {
      const { race, codes } = await openRace(hub.url);
      const path = `/races/${race.id}/records`;
      const { token } = await joinRace(hub.url, codes.observer, 'tab-1');
      const analyst = await joinRace(hub.url, codes.analyst, 'desk');
      const push = (seq: number, count: number) =>
        call(hub.url, 'POST', path, {
          token,
          body: { records: Array.from({ length: count }, (_, i) => sighting(race.id, 'tab-1', seq + i)) },
        });
      expect((await push(1, 50)).status).toBe(200);
      const stream = await fetch(`${hub.url}/api/v1/races/${race.id}/stream`, {
        headers: { authorization: `Bearer ${analyst.token}` },
      });
      // So that the analyst's next pull wants to write when it was.
      const database = new Database(join(disk, 'hub.sqlite'));
      database.exec('update devices set last_contact = 0');
      database.close();
      const filler = join(disk, 'filler');
      try {
        for (let size = 0; ; size += 1) writeFileSync(filler, Buffer.alloc(4096), { flag: 'a' });
      } catch (error) {
        expect((error as NodeJS.ErrnoException).code).toBe('ENOSPC');
      }
      let acknowledged = 50;
      let refused = await push(51, 1000);
      for (; refused.status === 200; refused = await push(acknowledged + 1, 1000)) acknowledged += 1000;
      expect([refused.status, refused.headers.get('retry-after')]).toEqual([503, '2']);
      for (let pulls = 0; pulls < 3; pulls += 1) {
        const { records } = await pullAll(hub.url, race.id, analyst.token);
        expect(records).toHaveLength(acknowledged);
      }
      expect((await call(hub.url, 'GET', '/health')).body).toMatchObject({ status: 'ok', storing: false });
      rmSync(filler);
      expect((await call(hub.url, 'GET', '/health')).body).not.toHaveProperty('storing');
      expect((await push(acknowledged + 1, 100)).status).toBe(200);
      // The stream that was open all the time tells of them.
      const reader = stream.body?.getReader();
      let heard = '';
      const { cursor } = await pullAll(hub.url, race.id, analyst.token);
      while (!heard.includes(cursor)) {
        const piece = await reader?.read();
        expect(piece?.done).toBe(false);
        heard += Buffer.from(piece?.value ?? new Uint8Array()).toString();
      }
      await reader?.cancel();
    } finally {
      await hub.end();
    }
  },
  60_000,
);
