import { request } from 'node:http';
import { expect, test } from 'vitest';
import { organiser, type ContractHub } from '../../helpers/hub/contract-hub.ts';
import { ORGANISER_KEY, sighting } from '../../helpers/hub/hub-client.ts';

/** What those who listen hear. */
export function streamsContract(hub: ContractHub): void {
  test('tells of new records and of a changed set-up within a second', async () => {
    const { race, path, push, one, two } = await hub.field();
    const heard = new Map<string, string>();
    const listen = async (token: string) => {
      const answer = await fetch(`${hub.url}/api/v1${path}/stream`, { headers: { authorization: `Bearer ${token}` } });
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
    await hub.at('PUT', path, { ...organiser, body: { ...race, name: 'Changed' } });
    await expect.poll(() => [one, two].map((token) => events(token, 'setup')), { timeout: 1000 }).toEqual([1, 1]);
    // The other observer has not been told of a record it may not see.
    expect(events(two, 'records')).toBe(1);
    await Promise.all(stops.map((stop) => stop()));
  });

  test('holds 200 live listeners', async () => {
    const { race, path, push, one } = await hub.field();
    let told = 0;
    const requests = Array.from({ length: 200 }, () =>
      request(
        `${hub.url}/api/v1${path}/stream`,
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
    expect((await hub.at('GET', '/health')).status).toBe(200);
  });
}
