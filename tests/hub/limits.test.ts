// What a guest with an observer's code cannot do, at a hub that runs.
import { request } from 'node:http';
import { join as joinPath } from 'node:path';
import Database from 'better-sqlite3';
import { afterAll, beforeAll, expect, test } from 'vitest';
import type { HeldUp, Joined, Pulled } from '../../src/lib/wire/wire.ts';
import { buildIfStale } from '../helpers/build-if-stale.ts';
import { freePort } from '../helpers/free-port.ts';
import {
  type Answer,
  call,
  inventedRace,
  join,
  nextId,
  openRace,
  ORGANISER_KEY,
  sighting,
} from '../helpers/hub/hub-client.ts';
import { startHub } from '../helpers/hub/start-hub.mjs';

let hub: Awaited<ReturnType<typeof startHub>>;
const organiser = { token: ORGANISER_KEY };
const code = (body: unknown) => (body as { error: { code: string } }).error.code;

beforeAll(async () => {
  await buildIfStale();
  hub = await startHub({ port: await freePort(), key: ORGANISER_KEY, env: { KERBSIDE_NAMES: 'hub.club.example' } });
}, 180_000);
afterAll(() => hub.end());

async function field() {
  const { race, codes } = await openRace(hub.url);
  const { token } = await join(hub.url, codes.observer, 'tab-1');
  return { race, codes, token, path: `/races/${race.id}` };
}

test('`limit` holds, also for what was said of a record before it came, and nothing is skipped', async () => {
  const { race, token, path } = await field();
  const own = [1, 2, 3].map((seq) => sighting(race.id, 'tab-1', seq));
  const early = own.flatMap(({ id }, of) =>
    Array.from({ length: 3 + of }, (_, i) => ({
      ...{ id: nextId(), kind: 'withdrawal', race: race.id, observer: 'B', device: 'other', seq: 10 * of + i + 1 },
      ...{ madeAt: '2026-10-04T08:00:00.000Z', target: id },
    })),
  );
  // A withdrawal of one of these, early itself.
  const further = { ...early[0], id: nextId(), seq: 99, target: early[1]?.id };
  await call(hub.url, 'POST', `${path}/records`, { ...organiser, body: { records: [further, ...early] } });
  await call(hub.url, 'POST', `${path}/records`, { token, body: { records: own } });
  for (const limit of [1, 2, 3, 5, 100]) {
    const got: string[] = [];
    for (let after = '', more = true; more;) {
      const { body } = await call(hub.url, 'GET', `${path}/records?limit=${limit}${after}`, { token });
      const page = body as Pulled;
      expect(page.records.length).toBeLessThanOrEqual(limit);
      got.push(...page.records.map(({ id }) => id));
      after = `&after=${page.cursor}`;
      more = page.more;
    }
    expect(got.sort()).toEqual([...own, ...early, further].map(({ id }) => id).sort());
  }
});

test('a page ends where it would be too large, and the next goes on', async () => {
  const { race, token, path } = await field();
  const note = '\u0001'.repeat(500);
  for (let from = 1; from <= 2500; from += 500) {
    const records = Array.from({ length: 500 }, (_, i) => sighting(race.id, 'tab-1', from + i, { note }));
    await call(hub.url, 'POST', `${path}/records`, { token, body: { records } });
  }
  for (const reader of [token, ORGANISER_KEY]) {
    const ids = new Set<string>();
    let pages = 0;
    for (let after = '', more = true; more; pages += 1) {
      const { body } = await call(hub.url, 'GET', `${path}/records?limit=10000${after}`, { token: reader });
      expect(JSON.stringify(body).length).toBeLessThan(6 * 1024 * 1024);
      for (const { id } of (body as Pulled).records) ids.add(id);
      after = `&after=${(body as Pulled).cursor}`;
      more = (body as Pulled).more;
    }
    expect([ids.size, pages]).toEqual([2500, 2]);
  }
});

test.each([2 ** 53 - 1, 2 ** 53 - 2, 1_000_000_001])('%i counts nothing', async (much) => {
  const { race, token, path } = await field();
  const body = { records: [sighting(race.id, 'tab-1', 1)], lastSeq: much };
  const lastSeq = await call(hub.url, 'POST', `${path}/records`, { token, body });
  expect([lastSeq.status, code(lastSeq.body)]).toEqual([400, 'malformed']);
  const seq = await call(hub.url, 'POST', `${path}/records`, {
    token,
    body: { records: [sighting(race.id, 'tab-1', much)] },
  });
  expect(seq.body).toMatchObject({
    accepted: 0,
    rejected: [{ reason: 'malformed: seq: expected at most 1000000000' }],
  });
  const opened = await call(hub.url, 'POST', '/races', { ...organiser, body: { ...inventedRace(), revision: much } });
  expect(opened.status).toBe(400);
  expect((await call(hub.url, 'PUT', path, { ...organiser, body: { ...race, revision: much } })).status).toBe(400);
});

test('an observer is held up at a limit until the organiser lifts it; what was there stays', async () => {
  const { race, codes, token, path } = await field();
  const push = (seq: number) =>
    call(hub.url, 'POST', `${path}/records`, { token, body: { records: [sighting(race.id, 'tab-1', seq)] } });
  const heldUp = async () => (await call(hub.url, 'GET', `${path}/limits`, organiser)).body as HeldUp[];
  expect((await push(1)).status).toBe(200);
  expect(await heldUp()).toEqual([]);
  const database = new Database(joinPath(hub.data, 'hub.sqlite'));
  database.exec("update devices set records = 200000 where device = 'tab-1'");
  const held = await push(2);
  expect([held.status, code(held.body), held.headers.get('retry-after')]).toEqual([429, 'slow-down', '60']);
  // Others of the race go on.
  const other = await join(hub.url, codes.observer, 'tab-2');
  const body = { records: [sighting(race.id, 'tab-2', 1)] };
  expect((await call(hub.url, 'POST', `${path}/records`, { token: other.token, body })).status).toBe(200);
  expect(await heldUp()).toMatchObject([
    { limit: 'device-records', device: 'tab-1', observer: 'A1', records: 200_000, refused: 1 },
  ]);
  expect((await call(hub.url, 'GET', `${path}/limits`, { token })).status).toBe(403);
  await call(hub.url, 'POST', `${path}/limits`, { ...organiser, body: { device: 'tab-1' } });
  expect((await push(2)).body).toMatchObject({ accepted: 1 });
  expect(await heldUp()).toEqual([]);
  database
    .prepare('update race_logs set last_arrival = 2000000 where race_no = (select race_no from races where id = ?)')
    .run(race.id);
  database.close();
  // What was lifted for a device holds for it whatever limit it meets.
  expect((await push(3)).status).toBe(200);
  const next = { records: [sighting(race.id, 'tab-2', 2)] };
  const pushNext = () => call(hub.url, 'POST', `${path}/records`, { token: other.token, body: next });
  expect((await pushNext()).status).toBe(429);
  expect(await heldUp()).toMatchObject([{ limit: 'race-records', device: null, devices: 2 }]);
  await call(hub.url, 'POST', `${path}/limits`, { ...organiser, body: { device: null } });
  expect((await pushNext()).body).toMatchObject({ accepted: 1 });
});

test('more devices at once than any race has are kept out, and can be shut out together', async () => {
  const { race, codes, token, path } = await field();
  const tried: Answer[] = [];
  for (let kept = false; !kept && tried.length < 400;) {
    const wave = Array.from({ length: 64 }, (_, i) =>
      call(hub.url, 'POST', '/join', { body: { code: codes.observer, device: `flood-${tried.length + i}` } }),
    );
    tried.push(...(await Promise.all(wave)));
    kept = tried.some(({ status }) => status !== 201);
  }
  const refused = tried.filter(({ status }) => status !== 201);
  expect(refused.length).toBeGreaterThan(0);
  for (const { status, body, headers } of refused) {
    expect([status, code(body)]).toEqual([429, 'slow-down']);
    expect(Number(headers.get('retry-after'))).toBeGreaterThan(0);
  }
  // Who has joined already comes back with its own token.
  const again = await call(hub.url, 'POST', '/join', { token, body: { code: codes.observer, device: 'tab-1' } });
  expect(again.status).toBe(201);
  const { body } = await call(hub.url, 'GET', `${path}/limits`, organiser);
  const [told] = body as HeldUp[];
  expect(told).toMatchObject({ limit: 'code-joins', device: null, devices: 1 + tried.length - refused.length });
  const flood = tried.find(({ status }) => status === 201)?.body as Joined;
  const { body: out } = await call(hub.url, 'DELETE', `${path}/tokens`, {
    ...organiser,
    body: { joinedSince: told?.joinedSince },
  });
  const { devices } = out as { devices: number };
  expect(devices).toBeGreaterThanOrEqual(249);
  const withFlood = { token: flood.token, body: { records: [sighting(race.id, 'flood-0', 1)] } };
  expect((await call(hub.url, 'POST', `${path}/records`, withFlood)).status).toBe(401);
});

test('a host that is not this hub gets 421, pages too; its own names and those given do not', async () => {
  const { port } = new URL(hub.url);
  const status = (host: string, path: string) =>
    new Promise<number | undefined>((resolve, reject) => {
      request({ port, host: '127.0.0.1', path, headers: { host } }, (answer) => {
        answer.resume();
        resolve(answer.statusCode);
      })
        .on('error', reject)
        .end();
    });
  for (const path of ['/', '/api/v1/health']) {
    for (const host of ['evil.example', `evil.example:${port}`, '203.0.113.9'])
      expect(await status(host, path)).toBe(421);
    for (const host of ['localhost', `127.0.0.1:${port}`, 'hub.club.example'])
      expect(await status(host, path)).toBe(200);
  }
});

test.each([
  ['more records than a push may have', `{"records":[${'{},'.repeat(699_000)}{}]}`],
  ['objects within objects', `{"records":[${'{"a":'.repeat(349_000)}1${'}'.repeat(349_000)}]}`],
  ['braces alone', `{"records":[${'{'.repeat(2_097_000)}`],
])('%s are refused before they are read', async (_, body) => {
  const { token, path } = await field();
  const refused = await call(hub.url, 'POST', `${path}/records`, { token, body });
  expect([refused.status, code(refused.body)]).toEqual([400, 'malformed']);
});
