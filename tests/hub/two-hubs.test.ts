import { setTimeout as sleep } from 'node:timers/promises';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { freePort } from '../helpers/free-port.ts';
import { call, join, openRace, ORGANISER_KEY, pullAll, sighting } from '../helpers/hub/hub-client.ts';
import { sharedPostgres } from '../helpers/hub/shared-postgres.ts';
import { startHub } from '../helpers/hub/start-hub.mjs';

type Hub = Awaited<ReturnType<typeof startHub>>;
const postgres = sharedPostgres();

/** Listens to the race's stream until it is stopped; what came stands in `text`. */
async function listen(url: string, race: string) {
  const abort = new AbortController();
  const answer = await fetch(`${url}/api/v1/races/${race}/stream`, {
    headers: { authorization: `Bearer ${ORGANISER_KEY}` },
    signal: abort.signal,
  });
  const heard = { text: '', count: (event: string) => heard.text.split(`event: ${event}\n`).length - 1 };
  const reader = answer.body!.pipeThrough(new TextDecoderStream()).getReader();
  void (async () => {
    for (;;) {
      const { done, value } = await reader.read().catch(() => ({ done: true, value: '' }));
      if (done) return;
      heard.text += value;
    }
  })();
  await expect.poll(() => heard.count('records')).toBe(1);
  return { heard, stop: () => abort.abort() };
}

describe.each(['sqlite', 'postgres'] as const)('two hubs on one %s', (store) => {
  let one: Hub;
  let two: Hub;

  beforeAll(async () => {
    const env: Record<string, string> =
      store === 'postgres' ? { DATABASE_URL: await postgres.newDatabase('two-hubs') } : {};
    one = await startHub({ port: await freePort(), key: ORGANISER_KEY, env });
    two = await startHub({ port: await freePort(), key: ORGANISER_KEY, env, data: one.data });
  }, 60_000);

  afterAll(async () => {
    await two.end();
    await one.end();
  });

  test('tell those who listen at one of what the other takes, within a second and once', async () => {
    const { race, codes } = await openRace(one.url);
    const path = `/races/${race.id}`;
    const { token } = await join(one.url, codes.observer, 'tab-1');
    const [atOne, atTwo] = await Promise.all([listen(one.url, race.id), listen(two.url, race.id)]);
    for (const [round, url] of [one.url, two.url, one.url].entries()) {
      const body = { records: [sighting(race.id, 'tab-1', round + 1)] };
      const { body: pushed } = await call(url, 'POST', `${path}/records`, { token, body });
      const { cursor } = pushed as { cursor: string };
      for (const { heard } of [atOne, atTwo]) await expect.poll(() => heard.text, { timeout: 1000 }).toContain(cursor);
    }
    const changed = { ...race, name: 'Changed' };
    expect((await call(two.url, 'PUT', path, { token: ORGANISER_KEY, body: changed })).status).toBe(200);
    const list = { revision: 0, rows: [{ bib: '7' }] };
    expect((await call(one.url, 'PUT', `${path}/startlist`, { token: ORGANISER_KEY, body: list })).status).toBe(200);
    for (const { heard } of [atOne, atTwo]) {
      await expect.poll(() => heard.text, { timeout: 1000 }).toContain('{"what":"race","revision":2}');
      await expect.poll(() => heard.text, { timeout: 1000 }).toContain('{"what":"startlist","revision":1}');
    }
    await sleep(700);
    for (const { heard, stop } of [atOne, atTwo]) {
      expect([heard.count('records'), heard.count('setup')]).toEqual([4, 2]);
      stop();
    }
    // Whoever listens after a pause hears again.
    const again = await listen(two.url, race.id);
    await call(one.url, 'POST', `${path}/records`, { token, body: { records: [sighting(race.id, 'tab-1', 4)] } });
    await expect.poll(() => again.heard.count('records'), { timeout: 1000 }).toBe(2);
    again.stop();
    expect((await pullAll(two.url, race.id, ORGANISER_KEY)).records).toHaveLength(4);
  });
});
