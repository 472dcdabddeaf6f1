// The primary PostgreSQL dies while twenty devices push, its synchronous standby is promoted: nothing acknowledged is lost.
import assert from 'node:assert/strict';
import process from 'node:process';
import { setTimeout as sleep } from 'node:timers/promises';
import { buildIfStale } from '../helpers/build-if-stale.ts';
import { freePort } from '../helpers/free-port.ts';
import { call, join, openRace, ORGANISER_KEY, pullAll, sighting } from '../helpers/hub/hub-client.ts';
import { startPostgresPair } from '../helpers/hub/postgres-pair.mjs';
import { startHub } from '../helpers/hub/start-hub.mjs';

const ROUNDS = Number(process.env['KERBSIDE_FAIL_OVERS'] ?? 20);
const DEVICES = 20;
const PER_DEVICE = 500;
const BATCH = 50;

/** @typedef {import('../../src/lib/wire/wire.ts').Pushed} Pushed */

/** Twenty devices push 10,000 records while the primary dies. @param {string[]} urls @param {() => Promise<void>} failOver */
async function round(urls, failOver) {
  const [url = ''] = urls;
  const { race, codes } = await openRace(url);
  /** @type {Set<string>} */
  const acknowledged = new Set();
  let waited = 0;
  const tokens = [];
  for (let d = 0; d < DEVICES; d += 1) tokens.push((await join(url, codes.observer, `tab-${d}`)).token);
  const pushers = tokens.map(async (token, d) => {
    const records = Array.from({ length: PER_DEVICE }, (_, i) => sighting(race.id, `tab-${d}`, i + 1));
    for (let at = 0; at < records.length;) {
      const part = records.slice(at, at + BATCH);
      const hub = urls[(d + at / BATCH) % urls.length] ?? url;
      const started = performance.now();
      for (;;) {
        const answer = await call(hub, 'POST', `/races/${race.id}/records`, { token, body: { records: part } }).catch(
          () => null,
        );
        if (answer?.status === 200) {
          const { accepted, known } = /** @type {Pushed} */ (answer.body);
          assert.equal(accepted + known, part.length);
          break;
        }
        if (answer) assert.ok(answer.status >= 500, `a push got ${answer.status}`);
        await sleep(100);
      }
      waited = Math.max(waited, performance.now() - started);
      for (const { id } of part) acknowledged.add(id);
      at += BATCH;
      await sleep(20);
    }
  });
  let pushing = true;
  const followed = new Set();
  const follower = (async () => {
    /** @type {string | undefined} */
    let cursor;
    for (let last = false; !last;) {
      last = !pushing;
      const page = await pullAll(url, race.id, ORGANISER_KEY, cursor, 100).catch(() => null);
      if (!page) {
        last = false;
        await sleep(100);
        continue;
      }
      for (const { id } of page.records) followed.add(id);
      cursor = page.cursor;
      await sleep(20);
    }
  })();
  await sleep(300);
  await failOver();
  await Promise.all(pushers);
  pushing = false;
  await follower;
  const held = new Set((await pullAll(url, race.id, ORGANISER_KEY)).records.map(({ id }) => id));
  const lost = [...acknowledged].filter((id) => !held.has(id)).length;
  const skipped = [...held].filter((id) => !followed.has(id)).length;
  assert.deepEqual(
    { acknowledged: acknowledged.size, lost, skipped },
    { acknowledged: DEVICES * PER_DEVICE, lost: 0, skipped: 0 },
  );
  return Math.round(waited);
}

export default async function () {
  await buildIfStale();
  const pair = await startPostgresPair();
  /** @type {Awaited<ReturnType<typeof startHub>>[]} */
  const hubs = [];
  try {
    const env = { DATABASE_URL: pair.url };
    for (let h = 0; h < 2; h += 1) hubs.push(await startHub({ port: await freePort(), key: ORGANISER_KEY, env }));
    const longestWaitMs = [];
    for (let rounds = 0; rounds < ROUNDS; rounds += 1) {
      if (rounds > 0) await pair.rejoin();
      longestWaitMs.push(
        await round(
          hubs.map(({ url }) => url),
          () => pair.failOver(),
        ),
      );
    }
    return { failOvers: ROUNDS, recordsEach: DEVICES * PER_DEVICE, lost: 0, skipped: 0, longestWaitMs };
  } finally {
    await Promise.all(hubs.map((hub) => hub.end()));
    await pair.stop();
  }
}
