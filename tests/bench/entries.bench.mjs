// How soon Entries shows its first rows and all of them, with 100,000 records on the device.
import { loadavg } from 'node:os';
import { chromium } from '@playwright/test';
import { chromiumPath } from '../helpers/browser/chromium.mjs';
import { startHub } from '../helpers/hub/start-hub.mjs';
import { fillWithOwnRecords } from '../helpers/tally/tally-bench.ts';
import { openTally, TALLY_RACE } from '../helpers/tally/tally-race.ts';

const RECORDS = 100_000;

export default async function entries() {
  const hub = await startHub({
    port: Number(process.env.KERBSIDE_TEST_PORT ?? 4593),
    key: 'bench-organiser-key-0123456789',
  });
  const browser = await chromium.launch({ executablePath: chromiumPath(), args: ['--no-sandbox', '--disable-gpu'] });
  try {
    const page = await browser.newPage({ viewport: { width: 820, height: 1180 } });
    await openTally(page, {}, hub.url);
    await fillWithOwnRecords(page, RECORDS);
    const list = page.getByRole('list', { name: 'Entries' }).getByRole('button').first();
    const open = async () => {
      const from = performance.now();
      await page.goto(`${hub.url}/races/${TALLY_RACE}/entries`);
      await list.waitFor();
      const firstRowsMs = Math.round(performance.now() - from);
      await page.getByText(/of 100,000, newest first/).waitFor({ timeout: 120_000 });
      return { firstRowsMs, allMs: Math.round(performance.now() - from) };
    };
    await open();
    const opened = [await open(), await open(), await open()].sort((a, b) => a.allMs - b.allMs)[1];
    await page.getByRole('searchbox').fill('9999');
    await list.click();
    await page.getByRole('button', { name: 'Withdraw' }).click();
    const from = performance.now();
    await page.getByText(/of 100,000, newest first/).waitFor();
    await page.getByText('Withdrawn: 9999.').waitFor();
    const correctedShownMs = Math.round(performance.now() - from);
    return {
      records: RECORDS,
      loadAverage: loadavg()[0],
      ...opened,
      correctedShownMs,
      targetFirstRowsMs: 1000,
    };
  } finally {
    await browser.close();
    await hub.end();
  }
}
