// How long Season takes with two hundred races on the device, whether it holds up the page (gaps between frames by the
// clock, tasks in processor time), and how soon Stop is heard.
import { chromium } from '@playwright/test';
import { chromiumPath } from '../helpers/browser/chromium.mjs';
import { startHub } from '../helpers/hub/start-hub.mjs';

const RACES = 200;
const RUNNERS = 250;

/** Runs in the page: writes races of two checkpoints, as the store keeps what was pulled. */
async function fill({ races, runners }) {
  const open = indexedDB.open('kerbside');
  await new Promise((resolve) => (open.onsuccess = resolve));
  const db = open.result;
  let state = 11;
  const random = () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 4294967296;
  };
  const strike = (own) => (own < 0.8 ? 'rearfoot' : own < 0.92 ? 'midfoot' : 'forefoot');
  const done = (transaction) => new Promise((resolve) => (transaction.oncomplete = resolve));
  let sightings = 0;
  const hex = (number, digits) => number.toString(16).padStart(digits, '0');
  for (let r = 0; r < races; r += 1) {
    const id = `5f6f9a52-6c1e-4b0a-9d53-${hex(r + 1, 12)}`;
    const date = new Date(Date.UTC(2031, 0, 1 + r)).toISOString().slice(0, 10);
    const checkpoints = [
      { id: 'ford', name: 'Ford', km: 5 },
      { id: 'mill', name: 'Mill', km: 15 + (r % 20) },
    ];
    const records = [];
    for (let n = 0; n < runners; n += 1) {
      const own = random();
      for (const [i, { id: checkpoint, km }] of checkpoints.entries()) {
        if (i > 0 && random() < 0.15) continue;
        const foot = strike(i > 0 && random() < 0.1 ? random() : own);
        const at = new Date(Date.parse(`${date}T08:00:00Z`) + (km * 300 + n * 5) * 1000).toISOString();
        records.push({
          id: `01990000-0000-7000-8000-${hex(r * 100_000 + records.length, 12)}`,
          ...{ kind: 'sighting', race: id, observer: 'S', device: 'bench', seq: records.length + 1, madeAt: at },
          ...{ checkpoint, bib: String(n + 1), left: foot, right: foot, method: 'live', observedAt: at },
        });
      }
    }
    const names = ['races', 'startLists', 'results', 'blocks', 'counters'];
    const transaction = db.transaction(names, 'readwrite', { durability: 'relaxed' });
    const put = (store, value) => transaction.objectStore(store).put(value);
    put('races', { id, race: { id, name: `Bench Race ${r + 1}`, date, checkpoints }, openedAt: 1 });
    const codes = Array.from({ length: runners }, (_, n) => ({ bib: String(n + 1), runner: `c${(n * 7 + r) % 900}` }));
    put('startLists', { race: id, revision: 1, rows: codes });
    put('results', { race: id, revision: 1, rows: [] });
    put('blocks', { race: id, block: 1, records, subjects: [] });
    put('counters', { race: id, device: 'bench', handedIn: [], savedSeq: 0, pulled: records.length, blocks: 1 });
    await done(transaction);
    sightings += records.length;
  }
  db.close();
  return sightings;
}

/** Runs in every page before its own code: notes the longest gap between frames and what progress was shown. */
function watch() {
  const seen = { longestGapMs: 0, shownAtMs: 0, progress: [] };
  window.__seen = seen;
  performance.mark('page begins');
  let last = performance.now();
  const tick = () => {
    const now = performance.now();
    seen.longestGapMs = Math.max(seen.longestGapMs, now - last);
    last = now;
    const bar = document.querySelector('progress[aria-label="Races read"]');
    if (bar && seen.progress.at(-1) !== bar.value) seen.progress.push(bar.value);
    if (seen.shownAtMs === 0 && document.querySelector('#together-title')) seen.shownAtMs = now;
    seen.whole = document.querySelectorAll('figure').length === 4 && document.querySelectorAll('tbody tr').length > 4;
    requestAnimationFrame(tick);
  };
  requestAnimationFrame(tick);
}

/**
 * Longest task of the page's main thread since it began, in processor time: what a busy machine does not stretch.
 *
 * @param {Buffer} trace
 */
function longestTaskCpuMs(trace) {
  const { traceEvents } = JSON.parse(trace.toString('utf8'));
  const begins = traceEvents.filter(({ name }) => name === 'page begins').at(-1);
  const tasks = traceEvents.filter(
    ({ name, pid, tid, ts, tdur }) =>
      name.endsWith('RunTask') && pid === begins.pid && tid === begins.tid && ts >= begins.ts && tdur > 0,
  );
  return Math.max(0, ...tasks.map(({ tdur }) => tdur)) / 1000;
}

async function whole(browser, page, url) {
  await browser.startTracing(page, { categories: ['toplevel', 'blink.user_timing'] });
  await page.goto(`${url}/season`);
  // By a look at a flag: a search by role would lay the page out by itself.
  await page.waitForFunction(() => window.__seen?.whole, null, { timeout: 300_000, polling: 500 });
  const { longestGapMs, shownAtMs, progress } = await page.evaluate(() => window.__seen);
  const taskMs = longestTaskCpuMs(await browser.stopTracing());
  const figures = { shownMs: shownAtMs, longestGapMs, longestTaskCpuMs: taskMs, stepsOfProgressSeen: progress.length };
  return Object.fromEntries(Object.entries(figures).map(([name, value]) => [name, Math.round(value)]));
}

async function damaged(page) {
  const torn = { name: 'torn.json', mimeType: 'application/json', buffer: Buffer.from('{"shares": [') };
  await page.getByLabel('Findings of others').setInputFiles([torn]);
  await page.getByRole('alert').waitFor({ timeout: 300_000 });
  const said = (await page.getByRole('alert').innerText()).split('\n').filter(Boolean);
  return { said, othersStand: (await page.getByRole('heading', { name: `${RACES} races together` }).count()) === 1 };
}

async function stopped(page, url) {
  await page.goto(`${url}/season`);
  await page.getByRole('progressbar', { name: 'Races read' }).waitFor();
  const before = performance.now();
  await page.getByRole('button', { name: 'Stop' }).click();
  await page.getByText(/^Stopped/).waitFor();
  return Math.round(performance.now() - before);
}

export default async function () {
  const hub = await startHub({
    port: Number(process.env['KERBSIDE_BENCH_PORT'] ?? 4479),
    key: 'bench-organiser-key-0123456789',
  });
  const browser = await chromium.launch({ executablePath: chromiumPath(), args: ['--no-sandbox', '--disable-gpu'] });
  try {
    const page = await (await browser.newContext()).newPage();
    await page.addInitScript(watch);
    await page.goto(`${hub.url}/season`);
    await page.getByText('Choose races on this device').waitFor();
    const sightings = await page.evaluate(fill, { races: RACES, runners: RUNNERS });
    const runs = [];
    for (let i = 0; i < 3; i += 1) runs.push(await whole(browser, page, hub.url));
    return { races: RACES, sightings, runs, damaged: await damaged(page), stopMs: await stopped(page, hub.url) };
  } finally {
    await browser.close();
    await hub.end();
  }
}
