import { statSync } from 'node:fs';
import { expect, test } from 'vitest';
import { faultCode, organiser, type ContractHub } from '../../helpers/hub/contract-hub.ts';
import { type Answer, sighting } from '../../helpers/hub/hub-client.ts';

/** How the hub says how it is, and what is wrong. */
export function faultsContract(hub: ContractHub): void {
  test('says how it is', async () => {
    const { status, body, headers } = await hub.at('GET', '/health');
    expect(status).toBe(200);
    expect(body).toEqual({
      status: 'ok',
      store: hub.store,
      version: expect.stringMatching(/^\d+\.\d+\.\d+$/) as string,
    });
    expect(headers.get('x-content-type-options')).toBe('nosniff');
    expect(headers.get('referrer-policy')).toBe('no-referrer');
    if (hub.store === 'sqlite') expect(statSync(hub.data).isDirectory()).toBe(true);
  });

  test('answers every fault in one form', async () => {
    const { race, path, one } = await hub.field();
    const other = await hub.field();
    const records = `${path}/records`;
    const deep = `${'['.repeat(200_000)}${']'.repeat(200_000)}`;
    const expected: [number, string, Answer][] = [
      [400, 'malformed', await hub.at('POST', records, { token: one, body: '{"records": [' })],
      [400, 'malformed', await hub.at('POST', records, { token: one, body: deep })],
      [400, 'malformed', await hub.at('POST', records, { token: one, body: { records: [] } })],
      [400, 'malformed', await hub.at('POST', records, { token: one, body: { records: new Array(1001).fill(1) } })],
      [400, 'malformed', await hub.at('POST', records, { token: one, body: { records: [1], sentAt: 'noon' } })],
      [400, 'malformed', await hub.at('POST', records, { token: one, body: { records: 'all' } })],
      [400, 'unknown-cursor', await hub.at('GET', `${records}?after=%00`, { token: one })],
      [400, 'malformed', await hub.at('GET', `${records}?limit=-1`, { token: one })],
      [400, 'malformed', await hub.at('POST', '/races', { ...organiser, body: { ...race, checkpoints: 'none' } })],
      [400, 'malformed', await hub.at('POST', '/join', { body: { code: 5, device: '' } })],
      [400, 'malformed', await hub.at('GET', '/races/%E0%A4%A', organiser)],
      [400, 'wrong-name', await hub.at('DELETE', path, { ...organiser, body: { name: 'another' } })],
      [401, 'unknown-token', await hub.at('GET', path)],
      [401, 'unknown-token', await hub.at('GET', path, { token: 'never-given' })],
      [403, 'wrong-race', await hub.at('GET', path, { token: other.one })],
      [
        403,
        'foreign-origin',
        await hub.at('POST', records, {
          token: one,
          body: { records: [1] },
          headers: { origin: 'http://elsewhere.test' },
        }),
      ],
      [
        403,
        'foreign-origin',
        await hub.at('DELETE', path, { ...organiser, body: { name: race.name }, headers: { origin: 'null' } }),
      ],
      [404, 'not-found', await hub.at('GET', '/races/5e0f9a52-6c1e-4b0a-9d53-eeeeeeeeeeee', organiser)],
      [404, 'not-found', await hub.at('GET', '/nothing')],
      [405, 'wrong-method', await hub.at('PATCH', path, organiser)],
      [413, 'too-large', await hub.at('POST', records, { token: one, body: `"${'x'.repeat(3_000_000)}"` })],
      [
        413,
        'too-large',
        await hub.at('PUT', `${path}/startlist`, { ...organiser, body: `"${'x'.repeat(17_000_000)}"` }),
      ],
      [
        415,
        'not-json',
        await hub.at('POST', records, { token: one, body: 'records', headers: { 'content-type': 'text/plain' } }),
      ],
    ];
    for (const [i, [status, code, answer]] of expected.entries()) {
      expect([i, answer.status, faultCode(answer.body)]).toEqual([i, status, code]);
      expect(answer.headers.get('content-type')).toContain('application/json');
    }
    expect(
      (
        await hub.at('PUT', `${path}/startlist`, {
          ...organiser,
          body: {
            revision: 0,
            rows: Array.from({ length: 40_000 }, (_, i) => ({ bib: String(i), name: 'y'.repeat(50) })),
          },
        })
      ).status,
    ).toBe(200);
    const own = await hub.at('POST', records, {
      token: one,
      body: { records: [sighting(race.id, 'tab-1', 1)] },
      headers: { origin: hub.url },
    });
    expect(own.status).toBe(200);
  });
}
