import { gzipSync } from 'node:zlib';
import { chromium } from '@playwright/test';
import { chromiumPath } from '../helpers/chromium.mjs';
import { startHub } from '../helpers/start-hub.mjs';
import {
  fillWithOwnRecords,
  quantileOf,
  tapSteadily,
  timeBareWrites,
  timeTaps,
  watchTaps,
} from '../helpers/tally-bench.ts';
import { openTally, TALLY_RACE } from '../helpers/tally-race.ts';

const SLOWED = 4;
const RUNS = 5;
const TAPS_A_RUN = 60;
const FLAGS = ['--no-sandbox', '--disable-gpu', '--disable-background-networking'];

/** A tablet with `stored` own records, its processor slowed, Tally open. */
async function openTablet(browser, url, stored) {
  const context = await browser.newContext({ hasTouch: true, viewport: { width: 390, height: 844 } });
  const page = await context.newPage();
  await openTally(page, {}, url);
  await fillWithOwnRecords(page, stored);
  await page.reload();
  await page.getByRole('group', { name: 'Foot grid' }).waitFor();
  const devtools = await context.newCDPSession(page);
  await devtools.send('Emulation.setCPUThrottlingRate', { rate: SLOWED });
  await watchTaps(page);
  // The first taps warm up what every later one finds warm.
  await timeTaps(page, 10);
  return page;
}

/** JavaScript that the first load of Tally brings, gzipped: until the foot grid is there, and with what follows. */
async function measureScripts(browser, url) {
  const context = await browser.newContext({ serviceWorkers: 'block' });
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
  await page.waitForTimeout(1500);
  const all = await sum();
  await context.close();
  return { untilShownKb: untilShown / 1000, withBackgroundExchangeKb: all / 1000, targetKb: 120 };
}

/** Tap to durable, painted feedback on a slowed processor; flat in what is stored; a burst; size of the first load. */
export default async function tallyBench() {
  const hub = await startHub({
    port: Number(process.env.KERBSIDE_TEST_PORT ?? 4373),
    key: 'bench-organiser-key-012345',
  });
  const browser = await chromium.launch({ executablePath: chromiumPath(), args: FLAGS });
  try {
    const firstLoad = await measureScripts(browser, hub.url);
    const small = await openTablet(browser, hub.url, 50_000);
    const large = await openTablet(browser, hub.url, 500_000);
    const bare = [];
    const taps = { small: [], large: [] };
    for (let run = 0; run < RUNS; run += 1) {
      await small.bringToFront();
      bare.push(...(await timeBareWrites(small, TAPS_A_RUN)));
      taps.small.push(await timeTaps(small, TAPS_A_RUN));
      await large.bringToFront();
      taps.large.push(await timeTaps(large, TAPS_A_RUN));
    }
    await small.bringToFront();
    const burst = await tapSteadily(small, 8, 10);
    const all = (runs, key) => runs.flatMap((times) => times[key]);
    const medianOfRuns = (runs) =>
      quantileOf(
        runs.map((times) => quantileOf(times.durableMs, 0.5)),
        0.5,
      );
    const bareMedianMs = quantileOf(bare, 0.5);
    const durableMedianMs = quantileOf(all(taps.small, 'durableMs'), 0.5);
    return {
      cpuSlowedTimes: SLOWED,
      tapsMeasured: RUNS * TAPS_A_RUN,
      paintedP99Ms: quantileOf(all(taps.small, 'paintedMs'), 0.99),
      targetPaintedP99Ms: 40,
      paintedMedianMs: quantileOf(all(taps.small, 'paintedMs'), 0.5),
      durableMedianMs,
      durableP99Ms: quantileOf(all(taps.small, 'durableMs'), 0.99),
      bareStrictWriteMedianMs: bareMedianMs,
      bareStrictWriteP99Ms: quantileOf(bare, 0.99),
      // Painted feedback waits for the next frame, up to 17 ms, which a bare write does not.
      durableToBareRatio: durableMedianMs / bareMedianMs,
      paintedToBareRatio: quantileOf(all(taps.small, 'paintedMs'), 0.5) / bareMedianMs,
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
