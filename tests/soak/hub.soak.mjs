// Hubs that are killed at random moments while twenty devices hand in, and a follower that pulls through a long load.
// KERBSIDE_SOAK_KILLS says how often in all, a third of it each on SQLite, on PostgreSQL and with two hubs on one PostgreSQL.
import assert from 'node:assert/strict';
import process from 'node:process';
import { setTimeout as sleep } from 'node:timers/promises';
import { buildIfStale } from '../helpers/build-if-stale.ts';
import { freePort } from '../helpers/free-port.ts';
import { call, openRace, ORGANISER_KEY, pullAll, sighting } from '../helpers/hub/hub-client.ts';
import { killWhilePushing } from '../helpers/hub/hub-load.ts';
import { startPostgres } from '../helpers/hub/postgres.ts';
import { seededRandom } from '../helpers/seeded-random.mjs';
import { startHub } from '../helpers/hub/start-hub.mjs';

const LOAD = { devices: 20, perDevice: 500, batch: 50, kills: 15 };
const KILLS = Number(process.env['KERBSIDE_SOAK_KILLS'] ?? 3 * LOAD.kills) / 3;
const FOLLOW_MS = 30_000;

/**
 * Loads of 10,000 records, each in a race of its own, until the hubs were killed often enough.
 *
 * @param {string} where
 * @param {Awaited<ReturnType<typeof startHub>>[]} hubs
 * @param {number} seed
 */
async function killed(where, hubs, seed) {
  const random = seededRandom(seed);
  const sum = { loads: 0, acknowledged: 0, missingAcknowledged: 0, kills: 0 };
  while (sum.kills < KILLS) {
    const run = await killWhilePushing(hubs, LOAD, random);
    const whole = { pushed: 10_000, acknowledged: 10_000, held: 10_000 };
    assert.deepEqual(run, { ...whole, missingAcknowledged: 0, twice: 0, notPushed: 0, kills: run.kills });
    assert.notEqual(run.kills, 0);
    sum.loads += 1;
    sum.acknowledged += run.acknowledged;
    sum.kills += run.kills;
    if (KILLS > LOAD.kills)
      console.error(`${where}: ${sum.kills} kills, ${sum.acknowledged} records acknowledged, none lost`);
  }
  return sum;
}

/** Pulls without a pause while eight writers push; ends with everything. @param {string[]} urls */
async function follow(urls) {
  const [url = ''] = urls;
  const { race } = await openRace(url);
  const path = `/races/${race.id}/records`;
  const until = Date.now() + FOLLOW_MS;
  /** @type {Set<string>} */
  const pushed = new Set();
  let writing = true;
  const writers = Promise.all(
    Array.from({ length: 8 }, async (_, w) => {
      for (let seq = 1; Date.now() < until; seq += 5) {
        const records = Array.from({ length: 5 }, (_, i) => sighting(race.id, `far-${w}`, seq + i));
        const { status } = await call(urls[w % urls.length] ?? url, 'POST', path, {
          token: ORGANISER_KEY,
          body: { records },
        });
        assert.equal(status, 200);
        for (const { id } of records) pushed.add(id);
        await sleep(5);
      }
    }),
  ).finally(() => {
    writing = false;
  });
  const followed = new Set();
  /** @type {string | undefined} */
  let cursor;
  for (let last = false; ;) {
    const page = await pullAll(url, race.id, ORGANISER_KEY, cursor, 100);
    for (const { id } of page.records) followed.add(id);
    cursor = page.cursor;
    if (last) break;
    last = !writing;
  }
  await writers;
  assert.deepEqual(followed, pushed);
  return { seconds: FOLLOW_MS / 1000, records: pushed.size, skipped: 0 };
}

export default async function () {
  await buildIfStale();
  const postgres = await startPostgres();
  try {
    const sqlite = await startHub({ port: await freePort(), key: ORGANISER_KEY });
    const env = { DATABASE_URL: await postgres.newDatabase('soak') };
    const alone = await startHub({
      port: await freePort(),
      key: ORGANISER_KEY,
      env: { DATABASE_URL: await postgres.newDatabase('soak_alone') },
    });
    const one = await startHub({ port: await freePort(), key: ORGANISER_KEY, env });
    const two = await startHub({ port: await freePort(), key: ORGANISER_KEY, env });
    try {
      // At the same time: most of it is waiting for hubs to come up.
      const [killedOnSqlite, killedOnPostgres, killedOneOfTwoOnPostgres] = await Promise.all([
        killed('SQLite', [sqlite], 11),
        killed('PostgreSQL', [alone], 12),
        killed('two on PostgreSQL', [one, two], 13),
      ]);
      return {
        killedOnSqlite,
        killedOnPostgres,
        killedOneOfTwoOnPostgres,
        followedOnSqlite: await follow([sqlite.url]),
        followedTwoHubsOnPostgres: await follow([one.url, two.url]),
      };
    } finally {
      await Promise.all([sqlite, alone, one, two].map((hub) => hub.end()));
    }
  } finally {
    await postgres.stop();
  }
}
