import { availableParallelism, loadavg } from 'node:os';
import { gzipSync } from 'node:zlib';
import { chromium } from '@playwright/test';
import { chromiumPath } from '../helpers/browser/chromium.mjs';
import { handTravel } from '../helpers/tally/hand-travel.ts';
import { startHub } from '../helpers/hub/start-hub.mjs';
import {
  fillWithOwnRecords,
  quantileOf,
  tapSteadily,
  timeBareTaps,
  timeBareWrites,
  timeTaps,
  watchTaps,
} from '../helpers/tally/tally-bench.ts';
import { openTally, TALLY_RACE } from '../helpers/tally/tally-race.ts';

const SLOWED = 4;
const RUNS = 5;
const TAPS_A_RUN = 40;
/** After this no further run begins: the whole takes at most some six minutes. */
const LONGEST_MS = 270_000;
const FLAGS = ['--no-sandbox', '--disable-gpu', '--disable-background-networking'];

/** A tablet with `stored` own records, Tally open; `slowed` does work on it with its processor slowed. */
async function openTablet(browser, url, stored) {
  const context = await browser.newContext({ hasTouch: true, viewport: { width: 390, height: 844 } });
  const page = await context.newPage();
  await openTally(page, {}, url);
  await fillWithOwnRecords(page, stored);
  await page.reload();
  await page.getByRole('group', { name: 'Foot grid' }).waitFor();
  const slowed = await slower(context, page);
  await watchTaps(page);
  // The first taps warm up what every later one finds warm.
  await slowed(() => timeTaps(page, 10));
  return { page, slowed };
}

/** Slowing burns a processor even while the page rests: only the page that is being timed may be slow. */
async function slower(context, page) {
  const devtools = await context.newCDPSession(page);
  const setRate = (rate) => devtools.send('Emulation.setCPUThrottlingRate', { rate });
  return async (work) => {
    await page.bringToFront();
    await setRate(SLOWED);
    try {
      return await work();
    } finally {
      await setRate(1);
    }
  };
}

async function measureBareTaps(browser) {
  const context = await browser.newContext({ hasTouch: true, viewport: { width: 390, height: 844 } });
  const page = await context.newPage();
  const slowed = await slower(context, page);
  const times = await slowed(() => timeBareTaps(page, 2 * TAPS_A_RUN));
  await context.close();
  return times;
}

/** JavaScript that the first load of Tally brings, gzipped: until the foot grid is there, and with what follows. */
async function measureScripts(browser, url) {
  const context = await browser.newContext({ serviceWorkers: 'block', viewport: { width: 390, height: 844 } });
  const page = await context.newPage();
  await openTally(page, {}, url);
  const bodies = [];
  page.on('response', (response) => {
    if (new URL(response.url()).pathname.endsWith('.js')) bodies.push(response.body().catch(() => Buffer.alloc(0)));
  });
  const sum = async () => (await Promise.all(bodies)).reduce((bytes, body) => bytes + gzipSync(body).length, 0);
  const devtools = await context.newCDPSession(page);
  await devtools.send('Network.setCacheDisabled', { cacheDisabled: true });
  await page.goto(`${url}/races/${TALLY_RACE}/tally`);
  await page.getByRole('group', { name: 'Foot grid' }).waitFor();
  const untilShown = await sum();
  const thumb = await handTravel(page);
  await page.waitForTimeout(1500);
  const all = await sum();
  await context.close();
  return { thumb, untilShownKb: untilShown / 1000, withBackgroundExchangeKb: all / 1000, targetKb: 120 };
}

/** Tap to durable, painted feedback on a slowed processor; flat in what is stored; a burst; size of the first load. */
export default async function tallyBench() {
  const hub = await startHub({
    port: Number(process.env.KERBSIDE_TEST_PORT ?? 4373),
    key: 'bench-organiser-key-012345',
  });
  const browser = await chromium.launch({ executablePath: chromiumPath(), args: FLAGS });
  try {
    const from = performance.now();
    const loadAtStart = loadavg()[0];
    const firstLoad = await measureScripts(browser, hub.url);
    const bareTaps = await measureBareTaps(browser);
    const small = await openTablet(browser, hub.url, 50_000);
    const large = await openTablet(browser, hub.url, 500_000);
    const bare = [];
    const taps = { small: [], large: [] };
    let runs = 0;
    for (; runs < RUNS && performance.now() - from < LONGEST_MS; runs += 1) {
      bare.push(...(await small.slowed(() => timeBareWrites(small.page, TAPS_A_RUN))));
      taps.small.push(await small.slowed(() => timeTaps(small.page, TAPS_A_RUN)));
      taps.large.push(await large.slowed(() => timeTaps(large.page, TAPS_A_RUN)));
    }
    const burst = await small.slowed(() => tapSteadily(small.page, 8, 10));
    const all = (key) => taps.small.flatMap((times) => times[key]);
    const medianOfRuns = (times) =>
      quantileOf(
        times.map(({ durableMs }) => quantileOf(durableMs, 0.5)),
        0.5,
      );
    const bareMedianMs = quantileOf(bare, 0.5);
    const writtenMs = all('durableMs').map((ms, n) => ms - all('inputMs')[n]);
    return {
      cpuSlowedTimes: SLOWED,
      // Other work on the machine makes every figure worse.
      loadAverage: { start: loadAtStart, end: loadavg()[0], processors: availableParallelism() },
      runs,
      tapsMeasured: runs * TAPS_A_RUN,
      paintedP99Ms: quantileOf(all('paintedMs'), 0.99),
      targetPaintedP99Ms: 40,
      paintedMedianMs: quantileOf(all('paintedMs'), 0.5),
      // What a page takes that keeps nothing and changes one word.
      emptyPagePaintedMedianMs: quantileOf(bareTaps, 0.5),
      emptyPagePaintedP99Ms: quantileOf(bareTaps, 0.99),
      inputMedianMs: quantileOf(all('inputMs'), 0.5),
      durableMedianMs: quantileOf(all('durableMs'), 0.5),
      durableP99Ms: quantileOf(all('durableMs'), 0.99),
      bareStrictWriteMedianMs: bareMedianMs,
      bareStrictWriteP99Ms: quantileOf(bare, 0.99),
      // A bare write waits neither for the touch to reach the page nor for the next frame; the empty page waits for just these.
      paintedToBareRatio: quantileOf(all('paintedMs'), 0.5) / bareMedianMs,
      paintedAboveEmptyPageToBareRatio: (quantileOf(all('paintedMs'), 0.5) - quantileOf(bareTaps, 0.5)) / bareMedianMs,
      durableToBareRatio: quantileOf(all('durableMs'), 0.5) / bareMedianMs,
      heardToDurableToBareRatio: quantileOf(writtenMs, 0.5) / bareMedianMs,
      targetToBareRatio: 3,
      medianOfRunsMs: { stored50000: medianOfRuns(taps.small), stored500000: medianOfRuns(taps.large) },
      ratio500000To50000: medianOfRuns(taps.large) / medianOfRuns(taps.small),
      targetRatio500000To50000: 1.1,
      burstOf8ASecond: burst,
      firstLoad,
    };
  } finally {
    await browser.close();
    await hub.end();
  }
}
