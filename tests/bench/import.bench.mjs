import { existsSync } from 'node:fs';
import { chromium } from '@playwright/test';
import { chromiumPath } from '../helpers/browser/chromium.mjs';
import { startHub } from '../helpers/hub/start-hub.mjs';

const ROUNDS = 5;

/** A start list as an organiser may export it: semicolons, a title line, quotes, Windows line ends. */
function startList(rows) {
  const lines = Array.from(
    { length: rows },
    (_, i) => `${100_000 + i};"Runner; ${i}";${i % 2 ? 'W' : 'M'};${18 + (i % 60)};Team ${i % 40}`,
  );
  return Buffer.from(['Invented run', 'Startnummer;Name;Geschlecht;Alter;Verein', ...lines, ''].join('\r\n'));
}

const median = (numbers) => [...numbers].sort((a, b) => a - b)[numbers.length >> 1];

/** From the choice of a file to its preview on the screen, and from the button to the list being kept. */
async function importOnce(page, rows, buffer) {
  const panel = page.locator('section').filter({ has: page.getByRole('heading', { name: 'Start list', exact: true }) });
  const from = performance.now();
  await panel.locator('input[type=file]').setInputFiles({ name: 'list.csv', mimeType: 'text/csv', buffer });
  const words = rows.toLocaleString('en-GB');
  const keep = panel.getByRole('button', { name: `these ${words} runners` });
  await keep.waitFor();
  const shown = performance.now();
  await keep.click();
  await panel.getByText(`${words} runners kept from list.csv.`).waitFor();
  return { read: shown - from, keep: performance.now() - shown };
}

/** How long the import of a good start list takes on the Set-up screen: reading, checking, comparing, keeping. */
export default async function importing() {
  if (!existsSync('build/cli/serve.js')) throw new Error('build first: npm run build');
  const hub = await startHub({ port: 4491, key: 'bench-organiser-key-0123456789' });
  const browser = await chromium.launch({ executablePath: chromiumPath(), args: ['--no-sandbox', '--disable-gpu'] });
  try {
    const page = await browser.newPage();
    await page.goto(`${hub.url}/`);
    await page.getByLabel('Name').fill('Bench run');
    await page.getByLabel('Date').fill('2031-06-06');
    await page.getByRole('button', { name: 'Set it up' }).click();
    await page.getByRole('heading', { name: 'Start list', exact: true }).waitFor();
    const figures = { target30000ReadMilliseconds: 2000 };
    for (const [rows, rounds] of [
      [30_000, ROUNDS],
      [300_000, 1],
    ]) {
      const buffer = startList(rows);
      const times = [];
      for (let round = 0; round < rounds; round += 1) times.push(await importOnce(page, rows, buffer));
      figures[`rows${rows}`] = {
        rounds,
        fileBytes: buffer.length,
        readMedianMilliseconds: Math.round(median(times.map((time) => time.read))),
        keepMedianMilliseconds: Math.round(median(times.map((time) => time.keep))),
      };
    }
    return figures;
  } finally {
    await browser.close();
    await hub.end();
  }
}
