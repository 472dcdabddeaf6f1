// Makes the README's pictures from the invented demo race: `npm run build && node tests/pictures/make.mjs`.
import { chromium } from '@playwright/test';
import { fileURLToPath } from 'node:url';
import { chromiumPath } from '../helpers/browser/chromium.mjs';
import { startHub } from '../helpers/hub/start-hub.mjs';

const file = (name) => fileURLToPath(new URL(name, import.meta.url));

const hub = await startHub({
  port: Number(process.env['KERBSIDE_BENCH_PORT'] ?? 4479),
  key: 'picture-organiser-key-0123456789',
});
const browser = await chromium.launch({ executablePath: chromiumPath(), args: ['--no-sandbox', '--disable-gpu'] });
try {
  const context = await browser.newContext({
    viewport: { width: 390, height: 844 },
    deviceScaleFactor: 2,
    hasTouch: true,
  });
  const page = await context.newPage();
  await page.goto(hub.url);
  await page
    .getByRole('button', { name: /demo race/i })
    .first()
    .click();
  await page.waitForURL(/\/races\//);
  const race = /\/races\/([^/]+)/.exec(page.url())[1];

  await page.goto(`${hub.url}/races/${race}/tally`);
  await page.getByText('A1', { exact: true }).click();
  await page.getByRole('button', { name: 'Start tallying' }).click();
  // Bibs of the demo's start list: five runners tallied, three lined up, the next one half typed.
  const keys = async (...names) => {
    for (const name of names) {
      await page.getByRole('button', { name, exact: true }).click();
      // The same key again within 40 ms is taken for a bounce.
      await page.waitForTimeout(60);
    }
  };
  const seen = ['both-rearfoot', 'both-rearfoot', 'both-midfoot', 'both-rearfoot', 'both-forefoot'];
  for (const [i, cell] of seen.entries()) {
    await keys(...String(4100 + i));
    await page.locator(`[data-cell="${cell}"]`).click();
  }
  await page.locator('main[data-kept="5"]').waitFor();
  for (const bib of ['4111', '4112', '4113']) await keys(...bib, 'Line up');
  await keys('4', '1');
  await page.waitForTimeout(1000);
  await page.screenshot({ path: file('tally-phone.png') });

  await page.setViewportSize({ width: 1024, height: 1180 });
  await page.goto(`${hub.url}/races/${race}/findings`);
  await page.locator('#methods').waitFor();
  while ((await page.locator('canvas:not([data-drawn])').count()) > 0) await page.waitForTimeout(50);
  await page.screenshot({ path: file('findings-tablet.png') });
} finally {
  await browser.close();
  await hub.end();
}
