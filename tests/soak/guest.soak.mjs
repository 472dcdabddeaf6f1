// What one observer's code can do to a hub: memory, time and volume, with what others feel of it meanwhile.
// KERBSIDE_SOAK_ATTACK names one of them; KERBSIDE_SOAK_STORE=postgres has the hub on PostgreSQL in place of SQLite.
import { fork } from 'node:child_process';
import { once } from 'node:events';
import { readFileSync } from 'node:fs';
import { connect } from 'node:net';
import { loadavg } from 'node:os';
import process from 'node:process';
import { setTimeout as sleep } from 'node:timers/promises';
import { buildIfStale } from '../helpers/build-if-stale.ts';
import { freePort } from '../helpers/free-port.ts';
import { call, join, nextId, openRace, ORGANISER_KEY, pullAll, sighting } from '../helpers/hub/hub-client.ts';
import { startPostgres } from '../helpers/hub/postgres.ts';
import { startHub } from '../helpers/hub/start-hub.mjs';

/** @typedef {Awaited<ReturnType<typeof startHub>>} Hub */

/** Memory of the hub's process, MB. @param {Hub} hub */
const megabytes = (hub) =>
  Math.round(Number(/VmRSS:\s+(\d+)/.exec(readFileSync(`/proc/${hub.pid()}/status`, 'utf8'))?.[1]) / 1024);

/** How long a call takes while `work` runs: the longest, ms. @param {() => Promise<unknown>} ask @param {() => Promise<unknown>} work */
async function longestWhile(ask, work) {
  let longest = 0;
  let working = true;
  const asking = (async () => {
    while (working) {
      const started = performance.now();
      await ask();
      longest = Math.max(longest, performance.now() - started);
      await sleep(5);
    }
  })();
  await work();
  working = false;
  await asking;
  return Math.round(longest);
}

/** Asks for a page and reads nothing of it. @param {Hub} hub @param {string} path @param {string} token */
function mute(hub, path, token) {
  const socket = connect(Number(new URL(hub.url).port), '127.0.0.1');
  socket.on('error', () => undefined);
  socket.pause();
  socket.write(`GET /api/v1${path} HTTP/1.1\r\nhost: 127.0.0.1\r\nauthorization: Bearer ${token}\r\n\r\n`);
  return socket;
}

/** @param {Hub} hub */
async function memory(hub) {
  const { race, codes } = await openRace(hub.url);
  const path = `/races/${race.id}/records`;
  const { token } = await join(hub.url, codes.observer, 'guest');
  const note = '\u0001'.repeat(500);
  for (let from = 1; from <= 10_000; from += 500) {
    const records = Array.from({ length: 500 }, (_, i) => sighting(race.id, 'guest', from + i, { note }));
    await call(hub.url, 'POST', path, { token, body: { records } });
  }
  const idle = megabytes(hub);
  let most = idle;
  const sockets = Array.from({ length: 100 }, () => mute(hub, `${path}?limit=10000`, token));
  const healthMs = await longestWhile(
    () => call(hub.url, 'GET', '/health'),
    async () => {
      for (let looks = 0; looks < 50; looks += 1) {
        await sleep(100);
        most = Math.max(most, megabytes(hub));
      }
    },
  );
  await sleep(25_000);
  const after25s = megabytes(hub);
  for (const socket of sockets) socket.destroy();
  return { idle, most, after25s, healthMs };
}

/** Fifty readers in a process of their own: what they take must not be counted as the hub's. @param {Hub} hub */
async function honestReaders(hub) {
  const { race, codes } = await openRace(hub.url);
  const records = Array.from({ length: 20_000 }, (_, i) => sighting(race.id, 'far', i + 1));
  for (let from = 0; from < records.length; from += 1000) {
    const body = { records: records.slice(from, from + 1000) };
    await call(hub.url, 'POST', `/races/${race.id}/records`, { token: ORGANISER_KEY, body });
  }
  const tokens = [];
  for (let d = 0; d < 50; d += 1) tokens.push((await join(hub.url, codes.analyst, `desk-${d}`)).token);
  const quietMs = await longestWhile(
    () => call(hub.url, 'GET', '/health'),
    () => sleep(2000),
  );
  const idle = megabytes(hub);
  let most = idle;
  /** @type {number[]} */
  const times = [];
  const started = performance.now();
  const healthMs = await longestWhile(
    async () => {
      const asked = performance.now();
      await call(hub.url, 'GET', '/health');
      times.push(performance.now() - asked);
      most = Math.max(most, megabytes(hub));
    },
    () => readInAnotherProcess({ url: hub.url, race: race.id, tokens }),
  );
  const medianMs = Math.round([...times].sort((a, b) => a - b)[Math.floor(times.length / 2)] ?? NaN);
  const seconds = (performance.now() - started) / 1000;
  return {
    ...{ readers: tokens.length, idle, most, healthMs, medianMs, quietMs },
    ...{ recordsPerSecond: Math.round((tokens.length * records.length) / seconds), loadAverage: loadavg()[0] },
  };
}

/** @param {{ url: string, race: string, tokens: string[] }} what */
async function readInAnotherProcess(what) {
  const reader = fork(new URL('../helpers/hub/readers.mjs', import.meta.url), [JSON.stringify(what)]);
  const [code] = await once(reader, 'exit');
  if (code !== 0) throw new Error('the readers did not get everything');
}

/** A chain of withdrawals whose first is about nothing, and what another race's pushes take meanwhile. @param {Hub} hub */
async function chain(hub) {
  const { race, codes } = await openRace(hub.url);
  const other = await openRace(hub.url);
  const { token } = await join(hub.url, codes.observer, 'guest');
  const honest = await join(hub.url, other.codes.observer, 'honest');
  let target = nextId();
  const base = {
    kind: 'withdrawal',
    race: race.id,
    observer: 'A1',
    device: 'guest',
    madeAt: '2026-10-04T07:30:05.120Z',
  };
  const links = Array.from({ length: 20_000 }, (_, i) => ({ ...base, id: nextId(), target, seq: i + 1 }));
  for (const link of links) {
    link.target = target;
    target = link.id;
  }
  const push = (/** @type {unknown[]} */ records) =>
    call(hub.url, 'POST', `/races/${race.id}/records`, { token, body: { records } }).catch(() => null);
  let seq = 0;
  const honestPush = () =>
    call(hub.url, 'POST', `/races/${other.race.id}/records`, {
      token: honest.token,
      body: { records: [sighting(other.race.id, 'honest', (seq += 1))] },
    }).catch(() => null);
  const building = await longestWhile(honestPush, async () => {
    for (let from = 0; from < links.length; from += 1000) await push(links.slice(from, from + 1000));
  });
  const replaying = await longestWhile(honestPush, async () => {
    for (let round = 0; round < 5; round += 1) await push(links.slice(-1000));
  });
  return { buildingMs: building, replayingMs: replaying };
}

/** What is said of one record before it comes. @param {Hub} hub */
async function limit(hub) {
  const { race, codes } = await openRace(hub.url);
  const { token } = await join(hub.url, codes.observer, 'guest');
  const late = sighting(race.id, 'guest', 1);
  const early = Array.from({ length: 30_000 }, (_, i) => ({
    ...{ id: nextId(), kind: 'withdrawal', race: race.id, observer: 'B', device: 'other', seq: i + 1 },
    ...{ madeAt: '2026-10-04T07:30:05.120Z', target: late.id },
  }));
  const path = `/races/${race.id}/records`;
  for (let from = 0; from < early.length; from += 1000) {
    await call(hub.url, 'POST', path, { token: ORGANISER_KEY, body: { records: early.slice(from, from + 1000) } });
  }
  await call(hub.url, 'POST', path, { token, body: { records: [late] } });
  const { cursor } = await pullAll(hub.url, race.id, ORGANISER_KEY, undefined, 10_000);
  const first = await call(hub.url, 'GET', `${path}?limit=1`, { token });
  let page = /** @type {import('../../src/lib/wire/wire.ts').Pulled} */ (first.body);
  let most = page.records.length;
  for (let pages = 0; pages < 5 && page.more; pages += 1) {
    const next = await call(hub.url, 'GET', `${path}?limit=1&after=${page.cursor}`, { token });
    page = /** @type {import('../../src/lib/wire/wire.ts').Pulled} */ (next.body);
    most = Math.max(most, page.records.length);
  }
  const all = await pullAll(hub.url, race.id, token, undefined, 1000);
  return { recordsOfLimit1: most, allPulled: new Set(all.records.map(({ id }) => id)).size, cursor: cursor !== '' };
}

/** A body of 2 MiB of empty objects. @param {Hub} hub */
async function braces(hub) {
  const { race, codes } = await openRace(hub.url);
  const { token } = await join(hub.url, codes.observer, 'guest');
  const figures = [];
  for (const text of [
    `{"records":[${'{},'.repeat(699_000)}{}]}`,
    `{"records":[${'{'.repeat(2_097_000)}`,
    `{"records":[${'{"a":'.repeat(349_000)}1${'}'.repeat(349_000)}]}`,
  ]) {
    const started = performance.now();
    const { status } = await call(hub.url, 'POST', `/races/${race.id}/records`, { token, body: text });
    figures.push({ status, ms: Math.round(performance.now() - started) });
  }
  return figures;
}

const FLOOD_MS = Number(process.env['KERBSIDE_SOAK_FLOOD_S'] ?? 10) * 1000;

/** Sixteen connections of a guest. @param {(which: number) => Promise<void>} work */
const atOnce = (work) => Promise.all(Array.from({ length: 16 }, (_, w) => work(w)));

/**
 * As many devices and records as one code brings in ten seconds, what an honest tablet of the same race feels of it, and
 * what the board says.
 *
 * @param {Hub} hub
 */
async function volume(hub) {
  const { race, codes } = await openRace(hub.url);
  const path = `/races/${race.id}`;
  const honest = await join(hub.url, codes.observer, 'honest');
  /** @type {Map<string, number>} */
  const answers = new Map();
  /** @param {string} what @param {number} status */
  const count = (what, status) => {
    const key = `${what} ${status}`;
    answers.set(key, (answers.get(key) ?? 0) + 1);
  };
  /** @type {{ device: string, token: string, seq: number }[]} */
  const guests = [];
  let until = Date.now() + FLOOD_MS;
  await atOnce(async (w) => {
    for (let d = 0; Date.now() < until; d += 1) {
      const device = `g-${w}-${d}`;
      const joined = await call(hub.url, 'POST', '/join', { body: { code: codes.observer, device } });
      count('join', joined.status);
      if (joined.status !== 201) continue;
      const { token } = /** @type {import('../../src/lib/wire/wire.ts').Joined} */ (joined.body);
      guests.push({ device, token, seq: 1 });
    }
  });
  until = Date.now() + FLOOD_MS;
  const floods = atOnce(async (w) => {
    for (let at = w; Date.now() < until; at += 1) {
      const guest = guests[at % guests.length];
      if (!guest) return;
      const records = Array.from({ length: 1000 }, (_, i) => sighting(race.id, guest.device, guest.seq + i));
      guest.seq += records.length;
      const pushed = await call(hub.url, 'POST', `${path}/records`, { token: guest.token, body: { records } });
      count('push', pushed.status);
    }
  });
  const tallying = (async () => {
    const times = [];
    for (let seq = 1; Date.now() < until; seq += 1) {
      const started = performance.now();
      const body = { records: [sighting(race.id, 'honest', seq)] };
      const { status } = await call(hub.url, 'POST', `${path}/records`, { token: honest.token, body });
      count('honest', status);
      times.push(performance.now() - started);
      await sleep(1000);
    }
    return Math.round(Math.max(...times));
  })();
  await floods;
  const honestLongestMs = await tallying;
  const { body } = await call(hub.url, 'GET', `${path}/limits`, { token: ORGANISER_KEY });
  const told = /** @type {import('../../src/lib/wire/wire.ts').HeldUp[]} */ (body);
  const { body: board } = await call(hub.url, 'GET', `${path}/devices`, { token: ORGANISER_KEY });
  const devices = /** @type {import('../../src/lib/wire/wire.ts').DeviceState[]} */ (board);
  return {
    answers: Object.fromEntries(answers),
    seconds: FLOOD_MS / 1000,
    devices: devices.length,
    records: devices.reduce((sum, { records }) => sum + records, 0),
    honestLongestMs,
    told: told.map(({ limit, device, refused }) => ({ limit, device, refused })).slice(0, 5),
  };
}

export default async function () {
  await buildIfStale();
  /** @type {Record<string, unknown>} */
  const figures = {};
  const only = process.env['KERBSIDE_SOAK_ATTACK'];
  const postgres = process.env['KERBSIDE_SOAK_STORE'] === 'postgres' ? await startPostgres() : undefined;
  try {
    for (const attack of [braces, limit, chain, honestReaders, volume, memory]) {
      if (only !== undefined && attack.name !== only) continue;
      const env = postgres ? { DATABASE_URL: await postgres.newDatabase(attack.name.toLowerCase()) } : {};
      const hub = await startHub({ port: await freePort(), key: ORGANISER_KEY, env });
      try {
        figures[attack.name] = await attack(hub).catch((error) => String(error));
      } finally {
        await hub.end();
      }
    }
  } finally {
    await postgres?.stop();
  }
  return figures;
}
