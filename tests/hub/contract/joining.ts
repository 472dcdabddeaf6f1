import { expect, test } from 'vitest';
import type { DeviceState, JoinCodes, TokenState } from '../../../src/lib/wire/wire.ts';
import { faultCode, organiser, type ContractHub } from '../../helpers/hub/contract-hub.ts';
import { join, openRace, sighting } from '../../helpers/hub/hub-client.ts';

/** Joining with a code, and being known again. To be called last: this address has to wait after too many wrong codes. */
export function joiningContract(hub: ContractHub): void {
  test('knows a device again by its token, and forgets it when the lead revokes it', async () => {
    const { race, codes, path, one } = await hub.field();
    const again = await hub.at('POST', '/join', { body: { code: codes.observer, device: 'tab-1' } });
    expect([again.status, faultCode(again.body)]).toEqual([409, 'device-known']);
    const typed = ` ${codes.observer.toLowerCase().replaceAll('-', ' ')} `;
    expect(await hub.at('POST', '/join', { token: one, body: { code: typed, device: 'tab-1' } })).toMatchObject({
      status: 201,
      body: { token: one, role: 'observer', race: { id: race.id } },
    });
    // An answer that was lost: the device made the token itself.
    const body = { code: codes.analyst, device: 'tab-9', token: 'invented-token-0123456789' };
    for (let i = 0; i < 2; i += 1) expect((await hub.at('POST', '/join', { body })).status).toBe(201);
    const tokens = (await hub.at('GET', `${path}/tokens`, organiser)).body as TokenState[];
    expect(JSON.stringify(tokens)).not.toContain(one);
    const key = tokens.find(({ device }) => device === 'tab-1')?.key ?? '';
    expect((await hub.at('DELETE', `${path}/tokens/${key}`, organiser)).status).toBe(204);
    expect((await hub.at('GET', path, { token: one })).status).toBe(401);
    const renewed = (await hub.at('POST', `${path}/codes`, { ...organiser, body: { renew: ['observer'] } }))
      .body as JoinCodes;
    expect(renewed.analyst).toBe(codes.analyst);
    expect((await hub.at('POST', '/join', { body: { code: codes.observer, device: 'tab-1' } })).status).toBe(401);
    expect((await hub.at('POST', '/join', { body: { code: renewed.observer, device: 'tab-1' } })).status).toBe(201);
  });

  test('forgets the name under which a tablet joined before it knew which race it was', async () => {
    const { race, codes, path, push, one } = await hub.field();
    const other = await hub.field();
    const names = async () =>
      ((await hub.at('GET', `${path}/devices`, organiser)).body as DeviceState[]).map(({ device }) => device);
    const { token: first } = await join(hub.url, codes.observer, 'first-name');
    const body = { code: codes.observer, device: 'name-of-records', token: 'token-of-the-tablet-01' };
    for (let i = 0; i < 2; i += 1) {
      expect(await hub.at('POST', '/join', { token: first, body })).toMatchObject({
        status: 201,
        body: { token: body.token },
      });
      expect(await names()).toEqual(['desk', 'name-of-records', 'tab-1', 'tab-2']);
      expect((await hub.at('GET', path, { token: first })).status).toBe(401);
    }
    // A name with records stays, and so does one of another race.
    await push(one, [sighting(race.id, 'tab-1', 1)]);
    for (const token of [one, other.one]) {
      const again = { code: codes.observer, device: `by-${token}` };
      expect((await hub.at('POST', '/join', { token, body: again })).status).toBe(201);
      expect((await hub.at('GET', token === one ? path : other.path, { token })).status).toBe(200);
    }
    expect(await names()).toContain('tab-1');
  });

  test('stops guessing of join codes', async () => {
    const { codes } = await openRace(hub.url);
    const statuses: number[] = [];
    let retryAfter = 0;
    for (let n = 0; n < 1000; n += 50) {
      const tries = Array.from({ length: 50 }, (_, i) =>
        hub.at('POST', '/join', { body: { code: `AAA-AAAA-${String(n + i).padStart(3, '0')}`, device: 'guesser' } }),
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
    expect((await hub.at('POST', '/join', { body: { code: codes.observer, device: 'tab-1' } })).status).toBe(429);
  });
}
