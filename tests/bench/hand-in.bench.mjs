// How long a tablet takes to hand in what waited, and a new analyst's device to pull a race, in Chromium on loopback.
import { loadavg } from 'node:os';
import { chromium } from '@playwright/test';
import { chromiumPath } from '../helpers/browser/chromium.mjs';
import { startHub } from '../helpers/hub/start-hub.mjs';

const KEY = 'bench-organiser-key-0123456789';
const WAITING = 5_000;
const PULLED = Number(process.env['KERBSIDE_BENCH_RECORDS'] ?? 200_000);
const RUNS = 5;
const RACE = {
  id: '5f6f9a52-6c1e-4b0a-9d53-0c6a5f3b2a11',
  name: 'Bench Ten',
  date: '2026-10-04',
  checkpoints: [{ id: 'k5', name: 'Mill', km: 5 }],
};

/** @param {number} n */
const recordId = (n) => `01920000-0000-7000-8000-${n.toString(16).padStart(12, '0')}`;
/** @param {number} n @param {string} device @param {number} seq */
const sighting = (n, device, seq) => ({
  ...{ id: recordId(n), kind: 'sighting', race: RACE.id, observer: 'A', device, seq },
  ...{ madeAt: '2026-10-04T07:30:00.000Z', checkpoint: 'k5', bib: String(n % 9999), left: 'rearfoot' },
  ...{ right: 'midfoot', method: 'live', observedAt: '2026-10-04T07:30:00.000Z' },
});
/** @param {number[]} values */
const median = (values) => [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)];

export default async function () {
  const hub = await startHub({ port: Number(process.env['KERBSIDE_BENCH_PORT'] ?? 4476), key: KEY });
  const browser = await chromium.launch({ executablePath: chromiumPath(), args: ['--no-sandbox', '--disable-gpu'] });
  try {
    /** @param {string} path @param {unknown} body */
    const post = async (path, body) => {
      const headers = { 'content-type': 'application/json', authorization: `Bearer ${KEY}` };
      const answer = await fetch(`${hub.url}${path}`, { method: 'POST', headers, body: JSON.stringify(body) });
      if (!answer.ok) throw new Error(`${path}: ${answer.status} ${await answer.text()}`);
      return answer.json();
    };
    const { codes } = await post('/api/v1/races', RACE);

    /** @param {string} code */
    const join = async (code) => {
      const page = await (await browser.newContext()).newPage();
      await page.goto(`${hub.url}/join#${code}`);
      await page.getByRole('button', { name: 'Join', exact: true }).click();
      await page.waitForURL(/\/races\//);
      return page;
    };

    const handInMs = [];
    for (let run = 0; run < RUNS; run += 1) {
      const page = await join(codes.observer);
      await page.goto(`${hub.url}/races/${RACE.id}/handoff`);
      await page.getByText('0 tallied, 0 at the hub').waitFor();
      await page.evaluate(fillWithWaiting, { raceId: RACE.id, count: WAITING, first: 1 + run * WAITING });
      await page.reload();
      const started = await page.evaluate(() => performance.timeOrigin);
      await page.getByText(`${WAITING} tallied, ${WAITING} at the hub`).waitFor();
      handInMs.push(Date.now() - started);
      await page.context().close();
    }

    for (let from = 0; from < PULLED; from += 1000) {
      const records = Array.from({ length: 1000 }, (_, i) => sighting(1_000_000 + from + i, 'laptop', from + i + 1));
      await post(`/api/v1/races/${RACE.id}/records`, { records });
    }
    const total = PULLED + RUNS * WAITING;
    const started = Date.now();
    const analyst = await join(codes.analyst);
    // Looked for at every frame: waiting for an element looks twice a second, which is a quarter of the whole.
    const text = `${total} records here from the hub`;
    await analyst.waitForFunction((said) => document.body.textContent.includes(said), text, { timeout: 300_000 });
    const shown = Date.now();
    // Before it lie the page's load, a click and joining; the pull itself begins when the first page is asked for.
    const askedFirst = await analyst.evaluate(() => {
      const pages = performance.getEntriesByType('resource').filter(({ name }) => name.includes('/records?'));
      return performance.timeOrigin + pages[0].startTime;
    });
    const pullSeconds = (shown - askedFirst) / 1000;
    const joinedSeconds = (shown - started) / 1000;
    return {
      waiting_records: WAITING,
      hand_in_page_load_included_ms: handInMs,
      hand_in_page_load_included_median_ms: median(handInMs),
      hand_in_target_ms: 3000,
      pulled_records: total,
      pull_and_writing_s: pullSeconds,
      pull_join_and_writing_included_s: joinedSeconds,
      join_included_records_per_s: Math.round(total / joinedSeconds),
      pull_records_per_s: Math.round(total / pullSeconds),
      pull_target_records_per_s: 120_000,
      load_average: loadavg()[0],
    };
  } finally {
    await browser.close();
    await hub.end();
  }
}

/** Runs in the page: what thousands of taps would have left in its database. @param {{ raceId: string, count: number, first: number }} options */
async function fillWithWaiting({ raceId, count, first }) {
  /** @type {IDBDatabase} */
  const db = await new Promise((resolve, reject) => {
    const opening = indexedDB.open('kerbside');
    opening.onsuccess = () => resolve(opening.result);
    opening.onerror = () => reject(opening.error);
  });
  const transaction = db.transaction(['records', 'counters'], 'readwrite');
  const counters = transaction.objectStore('counters');
  const row = await new Promise((resolve) => {
    const asked = counters.get(raceId);
    asked.onsuccess = () => resolve(asked.result);
  });
  for (let seq = 1; seq <= count; seq += 1) {
    const id = `01920000-0000-7000-8000-${(first + seq).toString(16).padStart(12, '0')}`;
    const record = {
      ...{ id, kind: 'sighting', race: raceId, observer: 'A', device: row.device, seq, bib: String(seq) },
      ...{ madeAt: '2026-10-04T07:30:00.000Z', checkpoint: 'k5', left: 'rearfoot', right: 'midfoot', method: 'live' },
      ...{ observedAt: '2026-10-04T07:30:00.000Z' },
    };
    transaction.objectStore('records').add({ id, race: raceId, seq, tallied: seq, bib: record.bib, record });
  }
  await new Promise((resolve) => (transaction.oncomplete = () => resolve(undefined)));
  db.close();
}
