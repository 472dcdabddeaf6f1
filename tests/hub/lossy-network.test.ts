import { randomFillSync } from 'node:crypto';
import { setTimeout as sleep } from 'node:timers/promises';
import { afterAll, beforeAll, expect, test } from 'vitest';
import type { Race } from '../../src/lib/race/race.ts';
import type { HubLink } from '../../src/lib/store/database.ts';
import { RaceSync } from '../../src/lib/sync/race-sync.ts';
import { buildIfStale } from '../helpers/build-if-stale.ts';
import { freePort } from '../helpers/free-port.ts';
import { join, openRace, ORGANISER_KEY, pullAll, sighting } from '../helpers/hub/hub-client.ts';
import { LossyProxy, NO_LOSSES } from '../helpers/hub/lossy-proxy.ts';
import { MemoryExchangeStore } from '../helpers/hub/memory-exchange-store.ts';
import { seededRandom } from '../helpers/seeded-random.mjs';
import { startHub } from '../helpers/hub/start-hub.mjs';

/** Waits of the exchange are this much shorter than at a race. */
const FASTER = 20;
const TABLETS = 4;
const BURSTS = 20;
const PER_BURST = 10;
const RECORDS_PER_TABLET = BURSTS * PER_BURST;
let hub: Awaited<ReturnType<typeof startHub>>;

beforeAll(async () => {
  await buildIfStale();
  hub = await startHub({ port: await freePort(), key: ORGANISER_KEY });
}, 180_000);

afterAll(() => hub.end());

function device(proxyUrl: string, race: Race, role: HubLink['role'], token: string, random: () => number) {
  const store = new MemoryExchangeStore(race, role);
  store.hubLink = { race: race.id, role, token };
  const sync = new RaceSync(store, {
    fetch: (path, init) => fetch(`${proxyUrl}${path}`, init),
    now: Date.now,
    random,
    randomBytes: (bytes) => randomFillSync(bytes),
    setTimer: (ms, then) => {
      const timer = setTimeout(then, ms / FASTER);
      return () => clearTimeout(timer);
    },
  });
  return { store, sync };
}

async function until(what: () => Promise<boolean>, longestMs: number): Promise<void> {
  for (const end = Date.now() + longestMs; Date.now() < end && !(await what());) await sleep(50);
}

test('tablets and hub come to the same records over a network that drops, delays, doubles and reorders', async () => {
  const { race, codes } = await openRace(hub.url);
  const proxy = new LossyProxy(hub.url, seededRandom(7));
  const proxyUrl = await proxy.listen();
  const random = seededRandom(8);
  const tablets = await Promise.all(
    Array.from({ length: TABLETS }, async (_, i) => {
      const name = `tab-${i + 1}`;
      const { token } = await join(hub.url, codes.observer, name);
      return { name, ...device(proxyUrl, race, 'observer', token, random) };
    }),
  );
  const { token } = await join(hub.url, codes.analyst, 'desk');
  const analyst = device(proxyUrl, race, 'analyst', token, random);
  const waiting = async () =>
    (await Promise.all(tablets.map(({ store }) => store.counts()))).reduce((sum, { waiting }) => sum + waiting, 0);

  proxy.losses = { dropRequest: 0.15, dropAnswer: 0.2, twice: 0.3, hold: 0.2, longestDelayMs: 30 };
  for (const { sync } of [...tablets, analyst]) sync.start();
  for (let burst = 0; burst < BURSTS; burst += 1) {
    for (const { name, store, sync } of tablets) {
      for (let i = 0; i < PER_BURST; i += 1) store.add(sighting(race.id, name, store.own.length + 1));
      sync.recordsChanged();
    }
    await sleep(150);
  }
  proxy.losses = NO_LOSSES;
  const total = TABLETS * RECORDS_PER_TABLET;
  await until(async () => (await waiting()) === 0 && analyst.store.pulled.size === total, 6_000);
  for (const { sync } of [...tablets, analyst]) sync.stop();
  await proxy.settled();
  await proxy.close();

  // The network was as bad as it was meant to be.
  for (const count of Object.values(proxy.counts)) expect(count).toBeGreaterThanOrEqual(5);
  expect(await waiting()).toBe(0);
  const made = tablets.flatMap(({ store }) => store.own.map(({ record }) => record));
  const byId = (a: { id: string }, b: { id: string }) => (a.id < b.id ? -1 : 1);
  const { records } = await pullAll(hub.url, race.id, ORGANISER_KEY);
  expect(records).toHaveLength(total);
  expect(records.sort(byId)).toEqual(made.sort(byId));
  expect([...analyst.store.pulled.values()].sort(byId)).toEqual(made);
  for (const { sync } of tablets) expect(sync.state.refused).toEqual([]);
}, 30_000);
