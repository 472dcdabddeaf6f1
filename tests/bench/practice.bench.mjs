import { readFileSync } from 'node:fs';
import { availableParallelism, loadavg } from 'node:os';
import { chromium } from '@playwright/test';
import { chromiumPath } from '../helpers/browser/chromium.mjs';
import { startHub } from '../helpers/hub/start-hub.mjs';
import { mainThreadPerFrame, TRACED } from './main-thread-time.mjs';

const PORT = Number(process.env.KERBSIDE_TEST_PORT ?? 4391);
const LANDINGS = 20;
const LONGEST_MS = 90_000;
const REHEARSED_MS = 20_000;
/** How much slower than this machine a phone is taken to be. */
const SLOWED = 4;
/** Longer than this, and a landing is void. */
const LONGEST_FRAME_MS = 34;
const FLAGS = ['--no-sandbox', '--disable-background-networking'];

/** A phone with Practice open, its processor slowed by `rate`. */
async function openPhone(browser, url, rate) {
  const context = await browser.newContext({
    ...{ hasTouch: true, isMobile: true, viewport: { width: 390, height: 844 }, deviceScaleFactor: 3 },
    serviceWorkers: 'block',
  });
  const page = await context.newPage();
  await page.addInitScript(watchFrames);
  await page.goto(`${url}/practice`);
  await page.getByLabel('Observer').fill('B1');
  const devtools = await context.newCDPSession(page);
  await devtools.send('Emulation.setCPUThrottlingRate', { rate });
  return page;
}

/** Notes when each frame came and how long its drawing took. */
function watchFrames() {
  const frames = { gaps: [], work: [] };
  Object.assign(window, { frames });
  const request = window.requestAnimationFrame.bind(window);
  let last = 0;
  window.requestAnimationFrame = (callback) =>
    request((now) => {
      // A pause between two landings is no frame.
      if (now > last && now - last < 250) frames.gaps.push(now - last);
      last = now;
      const began = performance.now();
      callback(now);
      frames.work.push(performance.now() - began);
    });
}

const quantile = (values, share) => {
  const sorted = [...values].sort((a, b) => a - b);
  return Number((sorted[Math.floor(share * (sorted.length - 1))] ?? 0).toFixed(2));
};

async function framesOf(page) {
  const { gaps, work } = await page.evaluate(() => window.frames);
  return {
    frames: gaps.length,
    framesASecond: Number((1000 / quantile(gaps, 0.5)).toFixed(1)),
    gapMs: { median: quantile(gaps, 0.5), p95: quantile(gaps, 0.95), p99: quantile(gaps, 0.99) },
    over34Ms: gaps.filter((ms) => ms > LONGEST_FRAME_MS).length,
    drawMs: { median: quantile(work, 0.5), p99: quantile(work, 0.99) },
  };
}

/**
 * Begins a training and answers it from within the page: a question asked from outside takes the page longer than a frame.
 */
function answerFromWithin(landings) {
  const tap = (button) => button.dispatchEvent(new MouseEvent('click', { bubbles: true, detail: 0 }));
  const named = (name) => [...document.querySelectorAll('button')].find((one) => one.textContent.trim() === name);
  setTimeout(() => tap(named('Begin training')), 500);
  let left = landings;
  const timer = setInterval(() => {
    const next = named('Next');
    if (next) left -= 1;
    if (next && left > 0) tap(next);
    const cell = document.querySelector('[data-cell]:not([disabled])');
    if (!next && cell) tap(cell);
    if (left > 0 && !document.querySelector('.warning')) return;
    clearInterval(timer);
    document.title = 'answered';
  }, 400);
}

/** Landings at level 4, each answered. */
async function landings(page) {
  await page.getByRole('radio', { name: /^4 / }).check();
  await page.evaluate(answerFromWithin, LANDINGS);
  await page
    .waitForFunction(() => document.title === 'answered', undefined, { polling: 5000, timeout: LONGEST_MS })
    .catch(() => undefined);
}

async function voidsOf(page) {
  const tooSlow = await page.getByText('This device draws too slowly').isVisible();
  await page.getByRole('button', { name: 'End' }).dispatchEvent('click');
  const save = page.getByRole('button', { name: 'Save practice.csv' });
  await save.or(page.getByText('Nothing was answered.')).first().waitFor();
  if (!(await save.isVisible())) return { answered: 0, voidedBeforeAnswered: 0, tooSlow };
  const saved = page.waitForEvent('download');
  await save.click();
  const rows = readFileSync(await (await saved).path(), 'utf8')
    .trimEnd()
    .split('\r\n')
    .slice(1);
  const voided = rows.reduce((sum, row) => sum + Number(row.split(',').at(-1)), 0);
  return { answered: rows.length, voidedBeforeAnswered: voided, tooSlow };
}

/** Begins a rehearsal and tallies it from within the page, a runner every three seconds. */
function tallyFromWithin() {
  const tap = (button) => button?.dispatchEvent(new MouseEvent('click', { bubbles: true, detail: 0 }));
  const named = (name) => [...document.querySelectorAll('button')].find((one) => one.textContent.trim() === name);
  const keys = [
    () => named('1'),
    () => named('2'),
    () => named('3'),
    () => document.querySelector('[data-cell^=both]'),
  ];
  setTimeout(() => tap(named('Begin the rehearsal')), 500);
  let taps = 0;
  setInterval(() => tap(keys[taps++ % keys.length]()), 750);
}

/** A rehearsal of 60 runners a minute that is tallied meanwhile. */
async function rehearsal(page) {
  await page.getByLabel('Runners a minute').fill('60');
  await page.evaluate(tallyFromWithin);
  await page.waitForTimeout(REHEARSED_MS);
}

/** Runs `work` on a phone that is slowed by `rate`; what `after` reads is added to its frames. */
async function onPhone(browser, url, rate, work, after = async () => ({})) {
  const page = await openPhone(browser, url, rate);
  await work(page);
  const figures = await framesOf(page);
  const more = await after(page);
  await page.context().close();
  return { ...figures, ...more };
}

/** Main-thread time per frame of `work`, as it is here, and as long as it takes a phone that is slower. */
async function mainThread(browser, url, work) {
  const page = await openPhone(browser, url, 1);
  await browser.startTracing(page, { categories: TRACED });
  await work(page);
  const times = mainThreadPerFrame(await browser.stopTracing());
  await page.context().close();
  const slowed = times.map((ms) => ms * SLOWED);
  return {
    frames: times.length,
    ms: { median: quantile(times, 0.5), p99: quantile(times, 0.99), most: quantile(times, 1) },
    slowedMs: { median: quantile(slowed, 0.5), p99: quantile(slowed, 0.99), most: quantile(slowed, 1) },
    slowedOver34Ms: slowed.filter((ms) => ms > LONGEST_FRAME_MS).length,
  };
}

/** How smoothly Practice draws on a phone, as it is and slowed four times. */
export default async function practiceBench() {
  const hub = await startHub({ port: PORT, key: 'bench-organiser-key-0123456789' });
  const browser = await chromium.launch({ executablePath: chromiumPath(), args: FLAGS });
  try {
    const results = {};
    for (const rate of [1, SLOWED]) {
      results[`slowed ${rate}`] = {
        landings: await onPhone(browser, hub.url, rate, landings, voidsOf),
        rehearsal: await onPhone(browser, hub.url, rate, rehearsal),
      };
    }
    results.mainThread = {
      landings: await mainThread(browser, hub.url, landings),
      rehearsal: await mainThread(browser, hub.url, rehearsal),
    };
    return { ...results, processors: availableParallelism(), load: loadavg()[0] };
  } finally {
    await browser.close();
    await hub.end();
  }
}
