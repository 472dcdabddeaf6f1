import { readFileSync } from 'node:fs';
import { availableParallelism, loadavg } from 'node:os';
import { chromium } from '@playwright/test';
import { chromiumPath } from '../helpers/chromium.mjs';
import { startHub } from '../helpers/start-hub.mjs';

const PORT = Number(process.env.KERBSIDE_TEST_PORT ?? 4391);
const LANDINGS = 20;
const LONGEST_MS = 60_000;
const REHEARSED_MS = 20_000;
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

/** Landings at level 4, each answered: frames, and how many landings were void. */
async function landings(browser, url, rate) {
  const page = await openPhone(browser, url, rate);
  await page.getByRole('radio', { name: /^4 / }).check();
  await page.getByRole('button', { name: 'Begin training' }).click();
  const next = page.getByRole('button', { name: 'Next' });
  const slow = page.getByText('This device draws too slowly');
  const until = Date.now() + LONGEST_MS;
  for (let i = 0; i < LANDINGS && Date.now() < until && !(await slow.isVisible()); i += 1) {
    while (!(await next.isVisible()) && !(await slow.isVisible()) && Date.now() < until) {
      await page.waitForTimeout(400);
      const open = page.locator('[data-cell]:not([disabled])').first();
      await open.dispatchEvent('click', { detail: 0 }, { timeout: 500 }).catch(() => undefined);
    }
    if (await next.isVisible()) await next.dispatchEvent('click');
  }
  const tooSlow = await slow.isVisible();
  const figures = await framesOf(page);
  await page.getByRole('button', { name: 'End' }).dispatchEvent('click');
  const saved = page.waitForEvent('download');
  await page.getByRole('button', { name: 'Save practice.csv' }).click();
  const rows = readFileSync(await (await saved).path(), 'utf8')
    .trimEnd()
    .split('\r\n')
    .slice(1);
  await page.context().close();
  const voided = rows.reduce((sum, row) => sum + Number(row.split(',').at(-1)), 0);
  return { ...figures, answered: rows.length, voidedBeforeAnswered: voided, tooSlow };
}

async function rehearsal(browser, url, rate) {
  const page = await openPhone(browser, url, rate);
  await page.getByLabel('Runners a minute').fill('60');
  await page.getByRole('button', { name: 'Begin the rehearsal' }).click();
  await page.locator('.tally').waitFor();
  await page.waitForTimeout(REHEARSED_MS);
  const figures = await framesOf(page);
  await page.context().close();
  return figures;
}

/** How smoothly Practice draws on a phone, as it is and slowed four times. */
export default async function practiceBench() {
  const hub = await startHub({ port: PORT, key: 'bench-organiser-key-0123456789' });
  const browser = await chromium.launch({ executablePath: chromiumPath(), args: FLAGS });
  try {
    const results = {};
    for (const rate of [1, 4]) {
      results[`slowed ${rate}`] = {
        landings: await landings(browser, hub.url, rate),
        rehearsal: await rehearsal(browser, hub.url, rate),
      };
    }
    return { ...results, processors: availableParallelism(), load: loadavg()[0] };
  } finally {
    await browser.close();
    await hub.end();
  }
}
