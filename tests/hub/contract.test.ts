import { statSync } from 'node:fs';
import { request } from 'node:http';
import { setTimeout as sleep } from 'node:timers/promises';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { recordLine } from '../../src/lib/domain/canonical-record.ts';
import type { TallyRecord } from '../../src/lib/domain/record.ts';
import type { DeviceState, JoinCodes, Pushed, RefusedRecord, TokenState } from '../../src/lib/domain/wire.ts';
import { freePort } from '../helpers/free-port.ts';
import { call, join, nextId, openRace, ORGANISER_KEY, pullAll, sighting, inventedRace } from '../helpers/hub-client.ts';
import { sharedPostgres } from '../helpers/shared-postgres.ts';
import { startHub } from '../helpers/start-hub.mjs';

const organiser = { token: ORGANISER_KEY };
const postgres = sharedPostgres();

/** `code` of a fault, and that it comes in the one form of faults. */
function faultCode(body: unknown): string {
  const { error } = body as { error: { code: string; message: string } };
  expect(Object.keys(body as object)).toEqual(['error']);
  expect(error.message).not.toBe('');
  return error.code;
}

describe.each(['sqlite', 'postgres'] as const)('the hub on %s', (store) => {
  let hub: Awaited<ReturnType<typeof startHub>>;
  let url: string;
  const at = (method: string, path: string, options: Parameters<typeof call>[3] = {}) =>
    call(url, method, path, options);

  beforeAll(async () => {
    const env: Record<string, string> =
      store === 'postgres' ? { DATABASE_URL: await postgres.newDatabase('contract') } : {};
    hub = await startHub({ port: await freePort(), key: ORGANISER_KEY, env });
    url = hub.url;
  }, 60_000);

  afterAll(() => hub.end());

  /** A race with two observers and an analyst. */
  async function field() {
    const { race, codes } = await openRace(url);
    const [one, two, analyst] = await Promise.all([
      join(url, codes.observer, 'tab-1'),
      join(url, codes.observer, 'tab-2'),
      join(url, codes.analyst, 'desk'),
    ]);
    const path = `/races/${race.id}`;
    const push = async (token: string, records: unknown[], more: object = {}) => {
      const { status, body } = await at('POST', `${path}/records`, { token, body: { records, ...more } });
      expect(status).toBe(200);
      return body as Pushed;
    };
    return { race, codes, path, push, one: one.token, two: two.token, analyst: analyst.token };
  }

  test('says how it is', async () => {
    const { status, body, headers } = await at('GET', '/health');
    expect(status).toBe(200);
    expect(body).toEqual({ status: 'ok', store, version: expect.stringMatching(/^\d+\.\d+\.\d+$/) as string });
    expect(headers.get('x-content-type-options')).toBe('nosniff');
    expect(headers.get('referrer-policy')).toBe('no-referrer');
    if (store === 'sqlite') expect(statSync(hub.data).isDirectory()).toBe(true);
  });

  test('opens a race once, and only for the organiser', async () => {
    const race = inventedRace();
    expect((await at('POST', '/races', { body: race })).status).toBe(401);
    expect((await at('POST', '/races', { body: race, token: 'not-the-key-at-all' })).status).toBe(401);
    const first = await at('POST', '/races', { ...organiser, body: race });
    expect(first.status).toBe(201);
    expect(await at('POST', '/races', { ...organiser, body: race })).toMatchObject({ status: 200, body: first.body });
    const other = await at('POST', '/races', { ...organiser, body: { ...race, name: 'Another' } });
    expect([other.status, faultCode(other.body)]).toEqual([409, 'race-exists']);
    const { codes } = first.body as { codes: JoinCodes };
    // 20 signs, 10 places: 43 bits. No sign that looks like another.
    for (const code of [codes.observer, codes.analyst])
      expect(code).toMatch(/^[ACEFHJKMNPRTWXY34679]{3}-[ACEFHJKMNPRTWXY34679]{4}-[ACEFHJKMNPRTWXY34679]{3}$/);
  });

  test('takes changes of the set-up by revision, and keeps checkpoints with records', async () => {
    const { race, path, push, one } = await field();
    const changed = { ...race, name: 'Renamed' };
    const { status, body } = await at('PUT', path, { ...organiser, body: changed });
    expect([status, body]).toEqual([200, { ...changed, revision: 2 }]);
    expect((await at('PUT', path, { ...organiser, body: changed })).status).toBe(200);
    const stale = await at('PUT', path, { ...organiser, body: { ...race, name: 'Late' } });
    expect([stale.status, faultCode(stale.body)]).toEqual([409, 'revision']);
    expect((await at('PUT', path, { token: one, body: changed })).status).toBe(403);
    await push(one, [sighting(race.id, 'tab-1', 1)]);
    const [mill, weir] = race.checkpoints as [{ id: string; name: string; km: number }, object];
    const without = await at('PUT', path, { ...organiser, body: { ...changed, revision: 2, checkpoints: [weir] } });
    expect([without.status, faultCode(without.body)]).toEqual([409, 'checkpoint-has-records']);
    const renamed = { ...changed, revision: 2, checkpoints: [{ ...mill, name: 'Old mill' }] };
    expect((await at('PUT', path, { ...organiser, body: renamed })).status).toBe(200);
    expect((await push(one, [sighting(race.id, 'tab-1', 2, { checkpoint: 'k9' })])).rejected[0]?.reason).toBe(
      'unknown checkpoint',
    );
  });

  test('gives an observer the bibs alone and no results', async () => {
    const { path, one, analyst } = await field();
    const rows = [{ bib: '7', name: 'Invented Runner', sex: 'F', age: 44, team: 'None' }];
    expect(await at('PUT', `${path}/startlist`, { ...organiser, body: { revision: 0, rows } })).toMatchObject({
      status: 200,
      body: { revision: 1 },
    });
    expect((await at('PUT', `${path}/startlist`, { ...organiser, body: { revision: 0, rows: [] } })).status).toBe(409);
    expect((await at('GET', `${path}/startlist`, { token: one })).body).toEqual({ revision: 1, rows: [{ bib: '7' }] });
    expect((await at('GET', `${path}/startlist`, { token: analyst })).body).toEqual({ revision: 1, rows });
    expect(
      (await at('PUT', `${path}/results`, { ...organiser, body: { revision: 0, rows: [{ bib: '7', finish: 2400 }] } }))
        .status,
    ).toBe(200);
    expect((await at('GET', `${path}/results`, { token: one })).status).toBe(403);
    expect((await at('GET', `${path}/results`, { token: analyst })).status).toBe(200);
    for (const call of ['devices', 'codes', 'tokens', 'refused']) {
      expect((await at('GET', `${path}/${call}`, { token: one })).status, call).toBe(403);
    }
  });

  test('keeps each record once, and each with its reason', async () => {
    const { race, path, push, one, analyst } = await field();
    const good = sighting(race.id, 'tab-1', 1, { note: "'); drop table records; -- <script>alert(1)</script>" });
    const twice = sighting(race.id, 'tab-1', 2);
    const batch: unknown[] = [
      good,
      good,
      twice,
      { ...twice, bib: '999' },
      null,
      17,
      [[]],
      { ...sighting(race.id, 'tab-1', 3), bib: 'x'.repeat(10_000) },
      { ...sighting(race.id, 'tab-1', 4), madeAt: '2026-13-45T99:00:00.000Z' },
      { ...sighting(race.id, 'tab-1', 5), madeAt: '+275760-09-13T00:00:00.000Z' },
      { ...sighting(race.id, 'tab-1', 6), seq: '6' },
      { ...sighting(race.id, 'tab-1', 7), __proto__x: 1 },
      { ...sighting(race.id, 'tab-1', 8), checkpoint: 'nowhere' },
      sighting('5e0f9a52-6c1e-4b0a-9d53-ffffffffffff', 'tab-1', 9),
      sighting(race.id, 'tab-2', 10),
      { ...sighting(race.id, 'tab-1', 11), gait: 'walk' },
    ];
    const pushed = await push(one, batch, { lastSeq: 30, sentAt: new Date(Date.now() - 90_000).toISOString() });
    expect([pushed.accepted, pushed.known]).toEqual([2, 1]);
    const reasons = pushed.rejected.map(({ reason }) => reason.replace(/:.*/s, ''));
    const count = (reason: string) => reasons.filter((r) => r === reason).length;
    expect(count('malformed')).toBe(9);
    for (const reason of ['conflict', 'unknown checkpoint', 'wrong race', 'wrong device'])
      expect(count(reason), reason).toBe(1);
    expect(pushed.rejected.every(({ reason }) => reason.length < 300)).toBe(true);
    expect(await push(one, [good, twice])).toMatchObject({ accepted: 0, known: 2, rejected: [] });
    // The default written out and an empty note say the same.
    expect(await push(one, [{ ...twice, gait: 'run', note: '' }])).toMatchObject({ accepted: 0, known: 1 });
    // Nothing that is refused counts as known, however often it comes.
    const nowhere = { ...sighting(race.id, 'tab-1', 12), checkpoint: 'nowhere' };
    const refusal = { id: nowhere.id, reason: 'unknown checkpoint' };
    expect(await push(one, [nowhere, nowhere])).toMatchObject({ accepted: 0, known: 0, rejected: [refusal, refusal] });
    const other = { ...good, bib: '998' };
    expect(await push(one, [other, other])).toMatchObject({ accepted: 0, known: 0, rejected: { length: 2 } });
    const { records } = await pullAll(url, race.id, analyst, undefined, 1);
    expect(records.map(recordLine)).toEqual([good, twice].map(recordLine));
    const devices = (await at('GET', `${path}/devices`, { token: analyst })).body as DeviceState[];
    const tab = devices.find(({ device }) => device === 'tab-1');
    expect(tab).toMatchObject({ observer: 'A1', records: 2, lastSeq: 30 });
    expect(tab?.offsetMs).toBeGreaterThan(89_000);
    expect(tab?.offsetMs).toBeLessThan(100_000);
    expect((await push(one, [{ ...good, bib: '5' }])).rejected).toEqual([{ id: good.id, reason: 'conflict' }]);
    await push(one, [{ ...good, bib: '5' }]);
    const refused = (await at('GET', `${path}/refused`, organiser)).body as { records: RefusedRecord[]; more: boolean };
    expect(refused.records.map(({ reason }) => reason).sort()).toEqual([
      'conflict',
      'conflict',
      'conflict',
      'wrong device',
    ]);
    expect(refused.records.find(({ record }) => record.id === good.id)?.stands).toEqual(good);
  });

  test('tells devices apart by what they are called to the last character, and refuses half a character', async () => {
    const { race, codes, path, push } = await field();
    const smile = 'tab-\u{1f600}';
    const { token } = await join(url, codes.observer, smile);
    const half = smile.slice(0, -1);
    const refused = await at('POST', '/join', { body: { code: codes.observer, device: half } });
    expect([refused.status, faultCode(refused.body)]).toEqual([400, 'malformed']);
    const own = sighting(race.id, smile, 1);
    expect(await push(token, [own])).toMatchObject({ accepted: 1, rejected: [] });
    const brought = await push(ORGANISER_KEY, [sighting(race.id, half, 1)]);
    expect(brought).toMatchObject({
      accepted: 0,
      rejected: [{ reason: 'malformed: device: device has half a character' }],
    });
    expect(await push(token, [sighting(race.id, smile, 2, { observer: half })])).toMatchObject({
      accepted: 0,
      rejected: [{ reason: 'malformed: observer: observer has half a character' }],
    });
    const devices = (await at('GET', `${path}/devices`, organiser)).body as DeviceState[];
    expect(devices.filter(({ device }) => device.startsWith('tab-\ud83d'))).toMatchObject([
      { device: smile, records: 1 },
    ]);
    expect(devices).toHaveLength(4);
  });

  test('takes what is new in a large batch, whatever of it the hub has already', async () => {
    const { race, push, one, analyst } = await field();
    const all = Array.from({ length: 233 }, (_, i) => sighting(race.id, 'tab-1', i + 1));
    const before = all.filter((_, i) => i % 7 === 3 || (i > 60 && i < 130));
    expect(await push(one, before)).toMatchObject({ accepted: before.length, known: 0 });
    const altered = all.map((record, i) => (i === 100 ? { ...record, bib: 'other' } : record));
    const pushed = await push(one, altered);
    expect(pushed).toMatchObject({ accepted: 233 - before.length, known: before.length - 1 });
    expect(pushed.rejected).toEqual([{ id: all[100]?.id, reason: 'conflict' }]);
    const { records, cursor } = await pullAll(url, race.id, analyst, undefined, 50);
    const fresh = all.filter((record) => !before.includes(record));
    expect(records.map(({ id }) => id)).toEqual([...before, ...fresh].map(({ id }) => id));
    expect(cursor).toBe(pushed.cursor);
    expect(await push(one, all)).toMatchObject({ accepted: 0, known: 233, cursor });
  });

  test('lets observers speak of their own sightings alone, and see what was said of them', async () => {
    const { race, push, one, two, analyst } = await field();
    const own = sighting(race.id, 'tab-1', 1);
    const others = sighting(race.id, 'tab-2', 1);
    await push(one, [own]);
    await push(two, [others]);
    const base = { race: race.id, madeAt: '2026-10-04T08:00:00.000Z', observer: 'A1' };
    const correct = (target: string, device: string, seq: number) =>
      ({ ...base, id: nextId(), kind: 'correction', device, seq, target, bib: '77' }) as TallyRecord;
    const ruling = {
      ...base,
      id: nextId(),
      kind: 'ruling',
      device: 'lead',
      seq: 1,
      checkpoint: 'k5',
      bib: '7',
      left: 'midfoot',
      right: 'midfoot',
    } as TallyRecord;
    expect((await push(one, [correct(others.id, 'tab-1', 2)])).rejected[0]?.reason).toBe('wrong device');
    expect((await push(one, [{ ...ruling, id: nextId(), device: 'tab-1' }])).rejected[0]?.reason).toBe('wrong role');
    expect((await push(analyst, [ruling])).rejected[0]?.reason).toBe('wrong role');
    const byLead = correct(own.id, 'lead', 2);
    const takenBack = {
      ...base,
      id: nextId(),
      kind: 'withdrawal',
      device: 'lead',
      seq: 3,
      target: byLead.id,
    } as TallyRecord;
    // What is said of a record may come before the record itself.
    const late = sighting(race.id, 'tab-1', 5);
    const early = correct(late.id, 'lead', 4);
    expect(await push(ORGANISER_KEY, [ruling, takenBack, byLead, early, correct(others.id, 'lead', 5)])).toMatchObject({
      accepted: 5,
    });
    await push(one, [late]);
    const seen = await pullAll(url, race.id, one);
    expect(new Set(seen.records.map(({ id }) => id))).toEqual(
      new Set([own, byLead, takenBack, late, early].map(({ id }) => id)),
    );
    expect((await pullAll(url, race.id, analyst)).records).toHaveLength(8);
    expect((await pullAll(url, race.id, one, seen.cursor)).records).toEqual([]);
  });

  test('knows a device again by its token, and forgets it when the lead revokes it', async () => {
    const { race, codes, path, one } = await field();
    const again = await at('POST', '/join', { body: { code: codes.observer, device: 'tab-1' } });
    expect([again.status, faultCode(again.body)]).toEqual([409, 'device-known']);
    const typed = ` ${codes.observer.toLowerCase().replaceAll('-', ' ')} `;
    expect(await at('POST', '/join', { token: one, body: { code: typed, device: 'tab-1' } })).toMatchObject({
      status: 201,
      body: { token: one, role: 'observer', race: { id: race.id } },
    });
    // An answer that was lost: the device made the token itself.
    const body = { code: codes.analyst, device: 'tab-9', token: 'invented-token-0123456789' };
    for (let i = 0; i < 2; i += 1) expect((await at('POST', '/join', { body })).status).toBe(201);
    const tokens = (await at('GET', `${path}/tokens`, organiser)).body as TokenState[];
    expect(JSON.stringify(tokens)).not.toContain(one);
    const key = tokens.find(({ device }) => device === 'tab-1')?.key ?? '';
    expect((await at('DELETE', `${path}/tokens/${key}`, organiser)).status).toBe(204);
    expect((await at('GET', path, { token: one })).status).toBe(401);
    const renewed = (await at('POST', `${path}/codes`, { ...organiser, body: { renew: ['observer'] } }))
      .body as JoinCodes;
    expect(renewed.analyst).toBe(codes.analyst);
    expect((await at('POST', '/join', { body: { code: codes.observer, device: 'tab-1' } })).status).toBe(401);
    expect((await at('POST', '/join', { body: { code: renewed.observer, device: 'tab-1' } })).status).toBe(201);
  });

  test('forgets the name under which a tablet joined before it knew which race it was', async () => {
    const { race, codes, path, push, one } = await field();
    const other = await field();
    const names = async () =>
      ((await at('GET', `${path}/devices`, organiser)).body as DeviceState[]).map(({ device }) => device);
    const { token: first } = await join(url, codes.observer, 'first-name');
    const body = { code: codes.observer, device: 'name-of-records', token: 'token-of-the-tablet-01' };
    for (let i = 0; i < 2; i += 1) {
      expect(await at('POST', '/join', { token: first, body })).toMatchObject({
        status: 201,
        body: { token: body.token },
      });
      expect(await names()).toEqual(['desk', 'name-of-records', 'tab-1', 'tab-2']);
      expect((await at('GET', path, { token: first })).status).toBe(401);
    }
    // A name with records stays, and so does one of another race.
    await push(one, [sighting(race.id, 'tab-1', 1)]);
    for (const token of [one, other.one]) {
      const again = { code: codes.observer, device: `by-${token}` };
      expect((await at('POST', '/join', { token, body: again })).status).toBe(201);
      expect((await at('GET', token === one ? path : other.path, { token })).status).toBe(200);
    }
    expect(await names()).toContain('tab-1');
  });

  test('answers every fault in one form', async () => {
    const { race, path, one } = await field();
    const other = await field();
    const records = `${path}/records`;
    const deep = `${'['.repeat(200_000)}${']'.repeat(200_000)}`;
    const expected: [number, string, Awaited<ReturnType<typeof call>>][] = [
      [400, 'malformed', await at('POST', records, { token: one, body: '{"records": [' })],
      [400, 'malformed', await at('POST', records, { token: one, body: deep })],
      [400, 'malformed', await at('POST', records, { token: one, body: { records: [] } })],
      [400, 'malformed', await at('POST', records, { token: one, body: { records: new Array(1001).fill(1) } })],
      [400, 'malformed', await at('POST', records, { token: one, body: { records: [1], sentAt: 'noon' } })],
      [400, 'malformed', await at('POST', records, { token: one, body: { records: 'all' } })],
      [400, 'malformed', await at('GET', `${records}?after=%00`, { token: one })],
      [400, 'malformed', await at('GET', `${records}?limit=-1`, { token: one })],
      [400, 'malformed', await at('POST', '/races', { ...organiser, body: { ...race, checkpoints: 'none' } })],
      [400, 'malformed', await at('POST', '/join', { body: { code: 5, device: '' } })],
      [400, 'malformed', await at('GET', '/races/%E0%A4%A', organiser)],
      [400, 'wrong-name', await at('DELETE', path, { ...organiser, body: { name: 'another' } })],
      [401, 'unknown-token', await at('GET', path)],
      [401, 'unknown-token', await at('GET', path, { token: 'never-given' })],
      [403, 'wrong-race', await at('GET', path, { token: other.one })],
      [
        403,
        'foreign-origin',
        await at('POST', records, { token: one, body: { records: [1] }, headers: { origin: 'http://elsewhere.test' } }),
      ],
      [
        403,
        'foreign-origin',
        await at('DELETE', path, { ...organiser, body: { name: race.name }, headers: { origin: 'null' } }),
      ],
      [404, 'not-found', await at('GET', '/races/5e0f9a52-6c1e-4b0a-9d53-eeeeeeeeeeee', organiser)],
      [404, 'not-found', await at('GET', '/nothing')],
      [405, 'wrong-method', await at('PATCH', path, organiser)],
      [413, 'too-large', await at('POST', records, { token: one, body: `"${'x'.repeat(3_000_000)}"` })],
      [413, 'too-large', await at('PUT', `${path}/startlist`, { ...organiser, body: `"${'x'.repeat(17_000_000)}"` })],
      [
        415,
        'not-json',
        await at('POST', records, { token: one, body: 'records', headers: { 'content-type': 'text/plain' } }),
      ],
    ];
    for (const [i, [status, code, answer]] of expected.entries()) {
      expect([i, answer.status, faultCode(answer.body)]).toEqual([i, status, code]);
      expect(answer.headers.get('content-type')).toContain('application/json');
    }
    expect(
      (
        await at('PUT', `${path}/startlist`, {
          ...organiser,
          body: {
            revision: 0,
            rows: Array.from({ length: 40_000 }, (_, i) => ({ bib: String(i), name: 'y'.repeat(50) })),
          },
        })
      ).status,
    ).toBe(200);
    const own = await at('POST', records, {
      token: one,
      body: { records: [sighting(race.id, 'tab-1', 1)] },
      headers: { origin: url },
    });
    expect(own.status).toBe(200);
  });

  test('tells of new records and of a changed set-up within a second', async () => {
    const { race, path, push, one, two } = await field();
    const heard = new Map<string, string>();
    const listen = async (token: string) => {
      const answer = await fetch(`${url}/api/v1${path}/stream`, { headers: { authorization: `Bearer ${token}` } });
      expect(answer.headers.get('content-type')).toBe('text/event-stream');
      const reader = answer.body!.pipeThrough(new TextDecoderStream()).getReader();
      void (async () => {
        for (;;) {
          const { done, value } = await reader.read().catch(() => ({ done: true, value: '' }));
          if (done) return;
          heard.set(token, (heard.get(token) ?? '') + value);
        }
      })();
      return () => reader.cancel().catch(() => undefined);
    };
    const stops = await Promise.all([listen(ORGANISER_KEY), listen(one), listen(two)]);
    const events = (token: string, event: string) => (heard.get(token) ?? '').split(`event: ${event}\n`).length - 1;
    await expect.poll(() => [ORGANISER_KEY, one, two].map((token) => events(token, 'records'))).toEqual([1, 1, 1]);
    const { cursor } = await push(one, [sighting(race.id, 'tab-1', 1)]);
    await expect.poll(() => heard.get(ORGANISER_KEY), { timeout: 1000 }).toContain(cursor);
    await expect.poll(() => events(one, 'records'), { timeout: 1000 }).toBe(2);
    await at('PUT', path, { ...organiser, body: { ...race, name: 'Changed' } });
    await expect.poll(() => [one, two].map((token) => events(token, 'setup')), { timeout: 1000 }).toEqual([1, 1]);
    // The other observer has not been told of a record it may not see.
    expect(events(two, 'records')).toBe(1);
    await Promise.all(stops.map((stop) => stop()));
  });

  test('holds 200 live listeners', async () => {
    const { race, path, push, one } = await field();
    let told = 0;
    const requests = Array.from({ length: 200 }, () =>
      request(
        `${url}/api/v1${path}/stream`,
        { agent: false, headers: { authorization: `Bearer ${ORGANISER_KEY}` } },
        (answer) => {
          answer.setEncoding('utf8').on('data', (text: string) => {
            told += text.split('event: records').length - 1;
          });
        },
      )
        .on('error', () => undefined)
        .end(),
    );
    await expect.poll(() => told, { timeout: 15_000 }).toBe(200);
    await push(one, [sighting(race.id, 'tab-1', 1)]);
    await expect.poll(() => told, { timeout: 5_000 }).toBe(400);
    for (const open of requests) open.destroy();
    expect((await at('GET', '/health')).status).toBe(200);
  });

  test('takes pushes that come at once as if they came one after the other', async () => {
    const { race, codes, path, push, one, analyst } = await field();
    const tabs = await Promise.all(
      Array.from({ length: 30 }, async (_, i) => ({
        device: `at-once-${i}`,
        token: (await join(url, codes.observer, `at-once-${i}`)).token,
      })),
    );
    const first = sighting(race.id, 'tab-1', 1);
    const again = { ...first, bib: '901' };
    const others = sighting(race.id, 'tab-2', 1);
    const correction = {
      ...{ id: nextId(), kind: 'correction', race: race.id, observer: 'A1', device: 'desk', seq: 1 },
      ...{ madeAt: '2026-10-04T08:00:00.000Z', target: first.id, bib: '902' },
    };
    const [pushes, twice, contested, brought, refused] = await Promise.all([
      Promise.all(
        tabs.map(({ device, token }, i) =>
          push(token, [sighting(race.id, device, i + 1)], { lastSeq: i + 1, sentAt: new Date().toISOString() }),
        ),
      ),
      Promise.all([push(one, [first]), push(one, [first])]),
      push(analyst, [again]),
      push(analyst, [correction]),
      push(one, [others]),
    ]);
    // Whichever of two contents came first stands; the same one again is known.
    const stands = contested.accepted === 1 ? again : first;
    expect([...twice, contested].reduce((sum, { accepted }) => sum + accepted, 0)).toBe(1);
    const conflicts = [...twice, contested].flatMap(({ rejected }) => rejected);
    expect(new Set(conflicts)).toEqual(new Set(conflicts.map(() => ({ id: first.id, reason: 'conflict' }))));
    expect(conflicts).toHaveLength(stands === first ? 1 : 2);
    expect(brought).toMatchObject({ accepted: 1, rejected: [] });
    expect(refused).toMatchObject({ accepted: 0, rejected: [{ id: others.id, reason: 'wrong device' }] });
    for (const answer of pushes) expect(answer).toMatchObject({ accepted: 1, known: 0, rejected: [] });
    // No two of them end at the same place, and each cursor stands right behind the record it was given for.
    expect(new Set(pushes.map(({ cursor }) => cursor)).size).toBe(tabs.length);
    const { records } = await pullAll(url, race.id, ORGANISER_KEY);
    expect(records).toHaveLength(tabs.length + 2);
    expect(records.find(({ id }) => id === first.id)).toEqual(stands);
    for (const [i, { cursor }] of pushes.entries()) {
      const left = (await pullAll(url, race.id, ORGANISER_KEY, cursor)).records;
      const place = records.findIndex(({ device }) => device === `at-once-${i}`);
      expect(left).toEqual(records.slice(place + 1));
    }
    const states = (await at('GET', `${path}/devices`, organiser)).body as DeviceState[];
    for (const [i, { device }] of tabs.entries()) {
      const state = states.find((row) => row.device === device);
      expect(state).toMatchObject({ observer: 'A1', records: 1, lastSeq: i + 1 });
      expect(state?.offsetMs).not.toBeNull();
    }
  });

  test('never skips a record for one who follows while others push', async () => {
    const { race, push, analyst } = await field();
    const pushed = new Set<string>();
    let pushing = true;
    const writers = Promise.all(
      Array.from({ length: 8 }, async (_, w) => {
        for (let n = 0; n < 25; n += 1) {
          const batch = Array.from({ length: 10 }, (_, i) => sighting(race.id, `far-${w}`, n * 10 + i + 1));
          await push(analyst, batch);
          for (const { id } of batch) pushed.add(id);
        }
      }),
    ).finally(() => {
      pushing = false;
    });
    const followed = new Set<string>();
    let cursor: string | undefined;
    while (pushing) {
      const page = await pullAll(url, race.id, analyst, cursor, 37);
      for (const { id } of page.records) followed.add(id);
      cursor = page.cursor;
      await sleep(5);
    }
    await writers;
    for (const { id } of (await pullAll(url, race.id, analyst, cursor, 37)).records) followed.add(id);
    expect(followed.size).toBe(2000);
    expect(followed).toEqual(pushed);
  });

  test('erases a race whose name is typed, and nothing else', async () => {
    const { race, path, push, one } = await field();
    const other = await field();
    await push(one, [sighting(race.id, 'tab-1', 1)]);
    expect((await at('DELETE', path, { token: one, body: { name: race.name } })).status).toBe(403);
    expect((await at('DELETE', path, { ...organiser, body: { name: race.name } })).status).toBe(204);
    expect((await at('GET', path, organiser)).status).toBe(404);
    expect((await at('GET', path, { token: one })).status).toBe(401);
    expect((await at('GET', other.path, { token: other.one })).status).toBe(200);
    // Opened again it is another log: a cursor of the old one starts from the first record.
    expect((await at('POST', '/races', { ...organiser, body: race })).status).toBe(201);
  });

  // Last: this address has to wait afterwards.
  test('stops guessing of join codes', async () => {
    const { codes } = await openRace(url);
    const statuses: number[] = [];
    let retryAfter = 0;
    for (let n = 0; n < 1000; n += 50) {
      const tries = Array.from({ length: 50 }, (_, i) =>
        at('POST', '/join', { body: { code: `AAA-AAAA-${String(n + i).padStart(3, '0')}`, device: 'guesser' } }),
      );
      for (const { status, headers } of await Promise.all(tries)) {
        statuses.push(status);
        if (status === 429) retryAfter = Number(headers.get('retry-after'));
      }
    }
    const wrongBefore = 1; // One wrong code was tried above, within the same minute or not.
    const through = statuses.filter((status) => status === 401).length;
    expect(through).toBeLessThanOrEqual(10);
    expect(through).toBeGreaterThanOrEqual(10 - wrongBefore);
    expect(statuses.filter((status) => status === 429)).toHaveLength(1000 - through);
    expect(retryAfter).toBeGreaterThan(0);
    expect(retryAfter).toBeLessThanOrEqual(60);
    expect((await at('POST', '/join', { body: { code: codes.observer, device: 'tab-1' } })).status).toBe(429);
  });
});
