// How fast a guest may bring what, at hubs that run on either database; and what the log says of guests.
import { request } from 'node:http';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { freePort } from '../helpers/free-port.ts';
import { call, inventedRace, join, openRace, ORGANISER_KEY, sighting } from '../helpers/hub/hub-client.ts';
import { sharedPostgres } from '../helpers/hub/shared-postgres.ts';
import { startHub } from '../helpers/hub/start-hub.mjs';

const postgres = sharedPostgres();
const organiser = { token: ORGANISER_KEY };
const code = (body: unknown) => (body as { error: { code: string } }).error.code;

describe.each(['sqlite', 'postgres'] as const)('a hub on %s', (store) => {
  let hub: Awaited<ReturnType<typeof startHub>>;
  let told = '';

  beforeAll(async () => {
    const env: Record<string, string> =
      store === 'postgres' ? { DATABASE_URL: await postgres.newDatabase('rates') } : {};
    hub = await startHub({ port: await freePort(), key: ORGANISER_KEY, env, hear: (text) => (told += text) });
  }, 60_000);
  afterAll(() => hub.end());

  test('lets a device that brought a whole day at once wait, until the organiser lets it go on', async () => {
    const { race, codes } = await openRace(hub.url);
    const path = `/races/${race.id}`;
    const { token } = await join(hub.url, codes.observer, 'tab-1');
    const own = { records: [sighting(race.id, 'tab-1', 1)] };
    expect((await call(hub.url, 'POST', `${path}/records`, { token, body: own })).status).toBe(200);
    // What is refused counts as well: it is work all the same.
    const elsewhere = inventedRace().id;
    const body = JSON.stringify({
      records: Array.from({ length: 1000 }, (_, i) => sighting(elsewhere, 'tab-1', i + 1)),
    });
    const push = () => call(hub.url, 'POST', `${path}/records`, { token, body });
    for (let pushed = 0; pushed < 30_000; pushed += 1000) expect((await push()).status).toBe(200);
    // At five a second a little has come back meanwhile, for one push at most.
    const last = await push();
    const held = last.status === 200 ? await push() : last;
    expect([held.status, code(held.body)]).toEqual([429, 'slow-down']);
    expect(Number(held.headers.get('retry-after'))).toBeGreaterThan(0);
    const limits = await call(hub.url, 'GET', `${path}/limits`, organiser);
    expect(limits.body).toMatchObject([{ limit: 'device-rate', device: 'tab-1', records: 1, refused: 1 }]);
    const other = await join(hub.url, codes.observer, 'tab-2');
    const honest = { records: [sighting(race.id, 'tab-2', 1)] };
    expect((await call(hub.url, 'POST', `${path}/records`, { token: other.token, body: honest })).status).toBe(200);
    await call(hub.url, 'POST', `${path}/limits`, { ...organiser, body: { device: 'tab-1' } });
    expect((await push()).status).toBe(200);
  });

  test('writes down who was refused and what was done with rights, and no secret', async () => {
    const { race, codes } = await openRace(hub.url);
    const path = `/races/${race.id}`;
    const { token } = await join(hub.url, codes.observer, 'tab-9');
    await call(hub.url, 'GET', `${path}/limits`, { token });
    await call(hub.url, 'GET', path, { token: 'a-token-that-nobody-has' });
    await call(hub.url, 'POST', '/join', { body: { code: 'AAA-AAAA-AAA', device: 'tab-8' } });
    const { body } = await call(hub.url, 'GET', `${path}/tokens`, organiser);
    const [{ key }] = body as [{ key: string }];
    await call(hub.url, 'DELETE', `${path}/tokens/${key}`, organiser);
    await call(hub.url, 'DELETE', path, { ...organiser, body: { name: race.name } });
    const of = (kind: string, rest: string) => expect.stringMatching(new RegExp(`^[-\\dT:.]{23}Z ${kind}: ${rest}$`));
    await expect
      .poll(() => told.split('\n'))
      .toEqual(
        expect.arrayContaining([
          of('race-opened', `race ${race.id} by the organiser`),
          of('joined', `race ${race.id} by device "tab-9", as observer`),
          of('wrong-role', String.raw`GET /api/v1/races/\[race\]/limits from .*127\.0\.0\.1`),
          of('unknown-token', String.raw`GET /api/v1/races/\[race\] from .*127\.0\.0\.1`),
          of('unknown-code', String.raw`POST /api/v1/join from .*127\.0\.0\.1`),
          of('token-revoked', `race ${race.id} by the organiser, of "tab-9"`),
          of('race-erased', `race ${race.id} by the organiser`),
        ]),
      );
    for (const secret of [token, codes.observer, codes.analyst, ORGANISER_KEY, 'a-token-that-nobody-has', 'AAA-AAAA'])
      expect(told).not.toContain(secret);
  });

  test('takes uploads that are broken off as nothing, says nothing of each, and goes on', async () => {
    const { race, codes } = await openRace(hub.url);
    const path = `/races/${race.id}/records`;
    const { token } = await join(hub.url, codes.observer, 'tab-1');
    const body = JSON.stringify({ records: [sighting(race.id, 'tab-1', 1)] });
    const before = told;
    const breakOff = () =>
      new Promise<void>((resolve) => {
        const headers = { 'content-type': 'application/json', authorization: `Bearer ${token}`, 'content-length': 1e6 };
        const sent = request(`${hub.url}/api/v1${path}`, { method: 'POST', headers });
        sent.on('error', () => resolve());
        sent.write(body, () => sent.destroy(new Error('broken off')));
      });
    for (let round = 0; round < 20; round += 1) await breakOff();
    const pushed = await call(hub.url, 'POST', path, { token, body });
    expect(pushed.body).toMatchObject({ accepted: 1, known: 0 });
    expect(told).toBe(before);
  });
});
