// What the hub takes and gives, over HTTP on loopback, beside the same rows put in by bare prepared statements of the same
// driver with the same durability in the same run.
import { mkdtempSync, rmSync } from 'node:fs';
import { Agent, get } from 'node:http';
import { loadavg, tmpdir } from 'node:os';
import { join } from 'node:path';
import { monitorEventLoopDelay } from 'node:perf_hooks';
import process from 'node:process';
import { setTimeout as sleep } from 'node:timers/promises';
import Database from 'better-sqlite3';
import pg from 'pg';
import { buildIfStale } from '../helpers/build-if-stale.ts';
import { freePort } from '../helpers/free-port.ts';
import { call, inventedRace, join as joinRace, openRace, ORGANISER_KEY, sighting } from '../helpers/hub/hub-client.ts';
import { startPostgres } from '../helpers/hub/postgres.ts';
import { startHub } from '../helpers/hub/start-hub.mjs';

const BATCH = 500;
const RUNS = 5;
const FEW = 10_000;
const MANY = Number(process.env['KERBSIDE_BENCH_RECORDS'] ?? 1_000_000);
const MEASURED = 20_000;
/** Records of another race, erased before the next figure: the hub's code is then compiled as on a day of use. */
const WARMING = 200_000;
/** The database to measure: sqlite or postgres; both, one after the other, without it. */
const STORE = process.env['KERBSIDE_BENCH_STORE'];
const SCRATCH_DDL = `create table records (race_no integer not null, arrival bigint not null, id text not null,
  kind smallint not null, device text not null, owner text, body text not null, primary key (race_no, arrival))`;
const SCRATCH_INDEX = 'create unique index records_id on records (race_no, id)';

/** One connection for all pages, as a tablet's. */
const kept = new Agent({ keepAlive: true, maxSockets: 1 });

/** @param {number[]} values */
const median = (values) => [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)] ?? NaN;
/** @param {number} from */
const seconds = (from) => (performance.now() - from) / 1000;

/** @param {string} race @param {number} count @param {number} first */
function bodies(race, count, first) {
  return Array.from({ length: count / BATCH }, (_, b) => {
    const records = Array.from({ length: BATCH }, (_, i) => sighting(race, `tab-${b % 20}`, first + b * BATCH + i));
    return { records, text: JSON.stringify({ records }) };
  });
}

/** Records a second through HTTP, two requests under way. @param {string} url @param {string} race @param {{text: string}[]} batches */
async function push(url, race, batches) {
  const started = performance.now();
  let next = 0;
  const pusher = async () => {
    for (let batch = batches[next++]; batch; batch = batches[next++]) {
      const { status } = await call(url, 'POST', `/races/${race}/records`, { token: ORGANISER_KEY, body: batch.text });
      if (status !== 200) throw new Error(`push: ${status}`);
    }
  };
  await Promise.all([pusher(), pusher()]);
  return (batches.length * BATCH) / seconds(started);
}

/** @param {{records: ReturnType<typeof sighting>[]}[]} batches */
function rowsOf(batches) {
  let arrival = 0;
  return batches.map(({ records }) => records.map((r) => [1, ++arrival, r.id, 1, r.device, null, JSON.stringify(r)]));
}

/** Records a second by bare prepared inserts. @param {{records: ReturnType<typeof sighting>[]}[]} batches */
function bareSqlite(batches) {
  const folder = mkdtempSync(join(tmpdir(), 'kerbside-bare-'));
  const db = new Database(join(folder, 'bare.sqlite'));
  db.pragma('journal_mode = WAL');
  db.pragma('synchronous = FULL');
  db.pragma('cache_size = -65536');
  db.exec(`${SCRATCH_DDL} without rowid`);
  db.exec(SCRATCH_INDEX);
  const insert = db.prepare('insert into records values (?, ?, ?, ?, ?, ?, ?)');
  const all = rowsOf(batches);
  const started = performance.now();
  for (const rows of all) {
    db.exec('begin immediate');
    for (const row of rows) insert.run(...row);
    db.exec('commit');
  }
  const rate = (all.length * BATCH) / seconds(started);
  db.close();
  rmSync(folder, { recursive: true });
  return rate;
}

/** Records a second by a bare UNNEST insert. @param {string} databaseUrl @param {{records: ReturnType<typeof sighting>[]}[]} batches */
async function barePostgres(databaseUrl, batches) {
  const client = new pg.Client({ connectionString: databaseUrl });
  await client.connect();
  await client.query('drop schema if exists bare cascade; create schema bare; set search_path to bare');
  await client.query(SCRATCH_DDL.replace('id text', 'id text collate "C"'));
  await client.query(SCRATCH_INDEX);
  const text = `insert into records select * from unnest($1::integer[], $2::bigint[], $3::text[], $4::smallint[],
    $5::text[], $6::text[], $7::text[])`;
  const all = rowsOf(batches);
  const started = performance.now();
  for (const rows of all) {
    await client.query({ name: 'insert', text, values: [0, 1, 2, 3, 4, 5, 6].map((c) => rows.map((row) => row[c])) });
  }
  const rate = (all.length * BATCH) / seconds(started);
  await client.end();
  return rate;
}

/** How long a page is, and how its text ends. @param {string} url @returns {Promise<{ bytes: number, end: string }>} */
function takePage(url) {
  const headers = { authorization: `Bearer ${ORGANISER_KEY}` };
  return new Promise((resolve, reject) => {
    const asked = get(url, { agent: kept, headers }, (answer) => {
      let bytes = 0;
      let end = Buffer.alloc(0);
      answer.on('data', (/** @type {Buffer} */ chunk) => {
        bytes += chunk.length;
        end = chunk.length < 200 ? Buffer.concat([end, chunk]).subarray(-200) : chunk.subarray(-200);
      });
      answer.on('end', () => resolve({ bytes, end: end.toString() }));
      answer.on('error', reject);
    });
    asked.on('error', reject);
  });
}

/**
 * Records a second that a new analyst's device gets. Of each page the bytes are counted and the end is read: whatever more
 * is done with it would measure this process, which shares the machine's cores with the hub and the database.
 *
 * @param {string} url
 * @param {string} race
 * @param {number} stored
 */
async function pullRate(url, race, stored) {
  const started = performance.now();
  let bytes = 0;
  let largestPage = 0;
  for (let after = '', more = true; more;) {
    const page = await takePage(`${url}/api/v1/races/${race}/records?limit=10000${after}`);
    const end = /"cursor":"([^"]+)","more":(true|false)\}$/.exec(page.end);
    if (!end) throw new Error('a page without its end');
    bytes += page.bytes;
    largestPage = Math.max(largestPage, page.bytes);
    after = `&after=${end[1]}`;
    more = end[2] === 'true';
  }
  const took = seconds(started);
  return { records: stored, perSecond: stored / took, megabytesPerSecond: bytes / took / 1e6, largestPage };
}

/** @param {number[]} times */
const spread = (times) => {
  const sorted = [...times].sort((a, b) => a - b);
  return { medianMs: median(sorted), p99Ms: sorted[Math.floor(sorted.length * 0.99)] ?? NaN };
};

/**
 * Milliseconds for one record each, 100 devices at one a second for ten seconds; beside them what the same client waits
 * meanwhile for a call that stores nothing, and how late its own timers are: less than these no push can take here.
 *
 * @param {string} url
 */
async function singlePushes(url) {
  const { race, codes } = await openRace(url);
  const tokens = [];
  // Joining is not what is measured: all have joined before the first record.
  for (let d = 0; d < 100; d += 1) tokens.push((await joinRace(url, codes.observer, `tab-${d}`)).token);
  /** @type {number[]} */
  const pushes = [];
  /** @type {number[]} */
  const idle = [];
  let pushing = true;
  const asking = (async () => {
    while (pushing) {
      const started = performance.now();
      await call(url, 'GET', '/health');
      idle.push(performance.now() - started);
      await sleep(50);
    }
  })();
  const delay = monitorEventLoopDelay({ resolution: 1 });
  delay.enable();
  await Promise.all(
    tokens.map(async (token, d) => {
      await sleep(d * 10);
      for (let seq = 1; seq <= 10; seq += 1) {
        const body = { records: [sighting(race.id, `tab-${d}`, seq)] };
        const started = performance.now();
        const { status } = await call(url, 'POST', `/races/${race.id}/records`, { token, body });
        if (status !== 200) throw new Error(`push: ${status}`);
        const took = performance.now() - started;
        pushes.push(took);
        await sleep(Math.max(0, 1000 - took));
      }
    }),
  );
  delay.disable();
  pushing = false;
  await asking;
  // The timer that is measured is due after one millisecond.
  const late = (/** @type {number} */ percent) => delay.percentile(percent) / 1e6 - 1;
  return {
    ...{ ...spread(pushes), p99TargetMs: 50 },
    ...{ storesNothing: spread(idle), clientLate: { medianMs: late(50), p99Ms: late(99) } },
    loadAverage: loadavg()[0],
  };
}

/** @typedef {(batches: ReturnType<typeof bodies>) => number | Promise<number>} Bare */

/**
 * Pushes and the bare driver in turn, from so many records stored on.
 *
 * @param {string} url
 * @param {string} race
 * @param {Bare} bare
 * @param {number} stored
 */
async function besideBare(url, race, bare, stored) {
  const through = [];
  const alone = [];
  for (let run = 0; run < RUNS; run += 1) {
    const batches = bodies(race, MEASURED, stored + run * MEASURED + 1);
    alone.push(await bare(batches));
    through.push(await push(url, race, batches));
  }
  const [recordsPerSecond, barePerSecond] = [median(through), median(alone)];
  return { stored, recordsPerSecond, barePerSecond, ratio: recordsPerSecond / barePerSecond };
}

/** @param {string} url @param {string} race @param {number} from @param {number} to */
async function fill(url, race, from, to) {
  for (let at = from; at < to; at += 10_000) await push(url, race, bodies(race, 10_000, at + 1));
}

/**
 * At a few records just after the hub's start, then at as many when hub and bare driver have run for a while, then at many.
 *
 * @param {string} url
 * @param {Bare} bare
 * @param {() => void | Promise<void>} tidy makes the store as small as it was before what was erased
 * @param {number} ratioTarget
 */
async function ingestFigures(url, bare, tidy, ratioTarget) {
  const first = inventedRace();
  await openRace(url, first);
  await fill(url, first.id, 0, FEW);
  const justStarted = await besideBare(url, first.id, bare, FEW);
  const sofar = FEW + RUNS * MEASURED;
  await fill(url, first.id, sofar, WARMING);
  for (let at = sofar; at < WARMING; at += MEASURED) await bare(bodies(first.id, MEASURED, at + 1));
  const { status } = await call(url, 'DELETE', `/races/${first.id}`, {
    token: ORGANISER_KEY,
    body: { name: first.name },
  });
  if (status !== 204) throw new Error(`erase: ${status}`);
  await tidy();
  const { race } = await openRace(url);
  await fill(url, race.id, 0, FEW);
  const warm = await besideBare(url, race.id, bare, FEW);
  await fill(url, race.id, sofar, MANY);
  const many = await besideBare(url, race.id, bare, MANY);
  const flatness = many.recordsPerSecond / warm.recordsPerSecond;
  // The bare side always begins empty: what changes it is the machine.
  const flatnessBesideBare = flatness / (many.barePerSecond / warm.barePerSecond);
  return {
    ...{ race: race.id, justStarted, warm, many, ratioTarget },
    ...{ flatness, flatnessBesideBare, flatnessTarget: '0.8 to 1.2' },
  };
}

/**
 * @param {string} url
 * @param {Bare} bare
 * @param {() => void | Promise<void>} tidy
 * @param {() => Promise<void>} [vacuum] what PostgreSQL does by itself within a minute or so, its naptime
 */
async function figuresOf(url, bare, tidy, vacuum) {
  const ingest = await ingestFigures(url, bare, tidy, 0.7);
  const stored = MANY + RUNS * MEASURED;
  const pull = await pullRate(url, ingest.race, stored);
  // PostgreSQL notes in each row whether its transaction was committed when the row is first read, unless it was vacuumed before.
  const { perSecond: againPerSecond } = await pullRate(url, ingest.race, stored);
  await vacuum?.();
  const { perSecond } = vacuum ? await pullRate(url, ingest.race, stored) : { perSecond: undefined };
  return {
    ...{ ingest, pull: { ...pull, againPerSecond, afterVacuumPerSecond: perSecond, targetPerSecond: 400_000 } },
    push: await singlePushes(url),
  };
}

async function sqliteFigures() {
  const hub = await startHub({ port: await freePort(), key: ORGANISER_KEY });
  try {
    return await figuresOf(hub.url, bareSqlite, () => {
      // A store of 10,000 records has no pages that an erased race has left free.
      const db = new Database(join(hub.data, 'hub.sqlite'));
      db.exec('vacuum');
      db.close();
    });
  } finally {
    await hub.end();
  }
}

/**
 * How long pushes wait at a race's row while two hubs on one PostgreSQL push to it, beside how long those who hold it take:
 * both as PostgreSQL tells, looked at every few milliseconds. Then how much two hubs take together, beside one.
 *
 * @param {string} databaseUrl
 * @param {string[]} urls
 */
async function atTheLock(databaseUrl, urls) {
  const { race } = await openRace(urls[0] ?? '');
  let seq = 1;
  const some = () => bodies(race.id, 10_000, (seq += 10_000));
  const alone = await push(urls[0] ?? '', race.id, some());
  const client = new pg.Client({ connectionString: databaseUrl });
  await client.connect();
  // Whoever listens hears in a transaction that is said to have begun with its last statement: left out.
  /** @type {Map<string, { waitedMs: number, heldMs: number }>} */
  const seen = new Map();
  let pushing = true;
  const looking = (async () => {
    while (pushing) {
      const { rows } = await client.query(`select pid, xact_start::text as began, wait_event_type = 'Lock' as waits,
          1000 * extract(epoch from clock_timestamp() - query_start)::float8 as "queryMs",
          1000 * extract(epoch from clock_timestamp() - xact_start)::float8 as "allMs"
        from pg_stat_activity where application_name = 'kerbside' and xact_start is not null and query not like 'listen %'`);
      for (const { pid, began, waits, queryMs, allMs } of rows) {
        const one = seen.get(`${pid} ${began}`) ?? { waitedMs: 0, heldMs: 0 };
        seen.set(`${pid} ${began}`, one);
        if (waits) one.waitedMs = Math.max(one.waitedMs, queryMs);
        else one.heldMs = Math.max(one.heldMs, allMs - one.waitedMs);
      }
      await sleep(2);
    }
  })();
  const rounds = [];
  for (let round = 0; round < RUNS; round += 1) {
    const started = performance.now();
    await Promise.all(urls.map((url) => push(url, race.id, some())));
    rounds.push((urls.length * 10_000) / seconds(started));
  }
  pushing = false;
  await looking;
  await client.end();
  const all = [...seen.values()];
  const waited = all.map(({ waitedMs }) => waitedMs).filter((ms) => ms > 0);
  return {
    ...{ transactionsSeen: all.length, waited: waited.length },
    ...{ wait: spread(waited), write: spread(all.map(({ heldMs }) => heldMs)) },
    ...{ oneHubPerSecond: alone, twoHubsPerSecond: median(rounds) },
  };
}

async function postgresFigures() {
  const postgres = await startPostgres();
  const databaseUrl = await postgres.newDatabase('bench');
  const env = { DATABASE_URL: databaseUrl };
  const hub = await startHub({ port: await freePort(), key: ORGANISER_KEY, env });
  const other = await startHub({ port: await freePort(), key: ORGANISER_KEY, env });
  try {
    const vacuum = async () => {
      const client = new pg.Client({ connectionString: databaseUrl });
      await client.connect();
      await client.query('vacuum records');
      await client.end();
    };
    const figures = await figuresOf(hub.url, (batches) => barePostgres(databaseUrl, batches), vacuum, vacuum);
    return { ...figures, twoHubs: await atTheLock(databaseUrl, [hub.url, other.url]) };
  } finally {
    await Promise.all([hub.end(), other.end()]);
    await postgres.stop();
  }
}

export default async function () {
  await buildIfStale();
  if (STORE !== undefined && STORE !== 'sqlite' && STORE !== 'postgres') throw new Error(`no database ${STORE}`);
  return {
    ...(STORE === 'postgres' ? {} : { sqlite: await sqliteFigures() }),
    ...(STORE === 'sqlite' ? {} : { postgres: await postgresFigures() }),
  };
}
