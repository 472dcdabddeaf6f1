// How long the Findings screen takes in Chromium, and whether it holds up the page while it computes.
import { loadavg } from 'node:os';
import { chromium } from '@playwright/test';
import { chromiumPath } from '../helpers/browser/chromium.mjs';
import { startHub } from '../helpers/hub/start-hub.mjs';

const RACE = {
  id: '5f6f9a52-6c1e-4b0a-9d53-0c6a5f3b2a12',
  name: 'Bench Marathon',
  date: '2026-10-04',
  checkpoints: [
    { id: 'k5', name: 'Pump House', km: 5 },
    { id: 'k15', name: 'Long Dike', km: 15 },
    { id: 'k25', name: 'Two Bridges', km: 25 },
    { id: 'k37', name: 'Market Cross', km: 37.5 },
  ],
};
const RUNS = 5;

/** Runs in the page: writes the race with `count` invented sightings, two observers a checkpoint, results for all. */
async function fill({ race, count }) {
  const open = indexedDB.open('kerbside');
  await new Promise((resolve) => (open.onsuccess = resolve));
  const db = open.result;
  let state = 7;
  const random = () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 4294967296;
  };
  const runners = Math.ceil(count / 8);
  const strike = (own) => (own < 0.85 ? 'rearfoot' : own < 0.94 ? 'midfoot' : 'forefoot');
  const slip = (own) => (random() < 0.95 ? strike(own) : strike(random()));
  const own = Array.from({ length: runners }, random);
  const done = (transaction) => new Promise((resolve) => (transaction.oncomplete = resolve));
  const lists = db.transaction(['races', 'startLists', 'results'], 'readwrite', { durability: 'relaxed' });
  lists.objectStore('races').put({ id: race.id, race, openedAt: 1 });
  lists.objectStore('startLists').put({ race: race.id, revision: 1, rows: [] });
  lists.objectStore('results').put({
    race: race.id,
    revision: 1,
    rows: own.map((_, i) => ({
      bib: String(i + 1),
      finish: Math.round(8000 + 12000 * random()),
      sex: i % 3 ? 'M' : 'F',
      age: 18 + (i % 55),
    })),
  });
  await done(lists);
  let block = 0;
  let n = 0;
  while (n < count) {
    const transaction = db.transaction(['blocks'], 'readwrite', { durability: 'relaxed' });
    for (let b = 0; b < 20 && n < count; b += 1) {
      const records = [];
      for (let i = 0; i < 1000 && n < count; i += 1, n += 1) {
        const runner = Math.floor(n / 8);
        const place = race.checkpoints[Math.floor((n % 8) / 2)];
        const at = new Date(
          Date.UTC(2026, 9, 4, 8) + Math.floor((place.km * 300 + runner * 0.05) * 1000),
        ).toISOString();
        records.push({
          id: `01990000-0000-7000-8000-${n.toString(16).padStart(12, '0')}`,
          kind: 'sighting',
          race: race.id,
          observer: n % 2 ? 'N' : 'S',
          device: 'bench',
          seq: n + 1,
          madeAt: at,
          checkpoint: place.id,
          bib: String(runner + 1),
          left: slip(own[runner]),
          right: slip(own[runner]),
          method: 'live',
          observedAt: at,
        });
      }
      block += 1;
      transaction.objectStore('blocks').put({ race: race.id, block, records: JSON.stringify(records), subjects: [] });
    }
    await done(transaction);
  }
  const counters = db.transaction('counters', 'readwrite');
  counters.objectStore('counters').put({
    ...{
      race: race.id,
      device: 'bench',
      handedIn: [],
      savedSeq: 0,
      pulled: count,
      blocks: block,
    },
  });
  await done(counters);
  db.close();
}

/** Runs in every page before its own code: notes the longest gap between frames and the longest task. */
function watch() {
  const seen = { longestTaskMs: 0, longestGapMs: 0, shownAtMs: 0 };
  window.__seen = seen;
  new PerformanceObserver((list) => {
    for (const entry of list.getEntries()) seen.longestTaskMs = Math.max(seen.longestTaskMs, entry.duration);
  }).observe({ type: 'longtask', buffered: true });
  let last = performance.now();
  const tick = () => {
    const now = performance.now();
    seen.longestGapMs = Math.max(seen.longestGapMs, now - last);
    last = now;
    if (seen.shownAtMs === 0 && document.querySelector('#shares .lead')) seen.shownAtMs = now;
    requestAnimationFrame(tick);
  };
  requestAnimationFrame(tick);
}

const median = (values) => [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)];
const round = (value) => Math.round(value * 10) / 10;

async function measure(browser, url, count, runs) {
  const context = await browser.newContext();
  const page = await context.newPage();
  await page.goto(`${url}/races/${RACE.id}/findings`);
  await page.waitForTimeout(1500);
  await page.evaluate(fill, { race: RACE, count });
  await page.addInitScript(watch);
  const figures = { loadToFiguresMs: [], workerMs: [], longestTaskMs: [], longestGapMs: [] };
  for (let run = 0; run < runs; run += 1) {
    await page.goto(`${url}/races/${RACE.id}/findings`);
    await page.locator('#methods').waitFor({ timeout: 300_000 });
    // The page's policy lets no text be evaluated, so it is asked from outside.
    while ((await page.locator('canvas:not([data-drawn])').count()) > 0) await page.waitForTimeout(50);
    await page.waitForTimeout(300);
    const seen = await page.evaluate(() => window.__seen);
    const took = Number(/in ([\d.]+) s/.exec(await page.locator('.made').textContent())[1]) * 1000;
    figures.loadToFiguresMs.push(seen.shownAtMs);
    figures.workerMs.push(took);
    figures.longestTaskMs.push(seen.longestTaskMs);
    figures.longestGapMs.push(seen.longestGapMs);
  }
  await context.close();
  return Object.fromEntries(Object.entries(figures).map(([name, values]) => [name, round(median(values))]));
}

export default async function () {
  const hub = await startHub({
    port: Number(process.env['KERBSIDE_BENCH_PORT'] ?? 4477),
    key: 'bench-organiser-key-0123456789',
  });
  const browser = await chromium.launch({ executablePath: chromiumPath(), args: ['--no-sandbox', '--disable-gpu'] });
  try {
    const few = await measure(browser, hub.url, 5_000, RUNS);
    const small = await measure(browser, hub.url, 60_000, RUNS);
    const large = await measure(browser, hub.url, 1_000_000, 3);
    return {
      load: loadavg()[0],
      sightings5000: { ...few, targetLoadToFiguresMs: 300 },
      sightings60000: { ...small, targetWorkerMs: 1000 },
      sightings1000000: { ...large, targetWorkerMs: 2500, targetLongestTaskMs: 50 },
    };
  } finally {
    await browser.close();
    await hub.end();
  }
}
