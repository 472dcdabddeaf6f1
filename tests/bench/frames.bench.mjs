import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { chromium } from '@playwright/test';
import { chromiumPath } from '../helpers/browser/chromium.mjs';
import { seededRandom } from '../helpers/seeded-random.mjs';
import { serveFrames } from '../helpers/screen/serve-frames.mjs';

// Stepping through the reference clips, decoder and picture element side by side: exact frames of those asked for, and
// milliseconds to a drawn canvas.
const FOLDER = fileURLToPath(new URL('../reference/clips/', import.meta.url));
const COUNT = 100;

/** @param {number[]} values @param {number} share */
const quantile = (values, share) => [...values].sort((a, b) => a - b)[Math.floor(share * (values.length - 1))];
/** @param {number} value */
const rounded = (value) => Math.round(value * 10) / 10;

/** @param {number} frames */
function walks(frames) {
  const random = seededRandom(7);
  const middle = Math.floor(frames / 2);
  return {
    on: Array.from({ length: COUNT }, (_, i) => middle + i),
    back: Array.from({ length: COUNT }, (_, i) => middle - i),
    jump: Array.from({ length: COUNT }, () => Math.floor(random() * frames)),
  };
}

/** Exactness and pace of stepping, for the decoder and for the picture element. */
export default async function frames() {
  const server = await serveFrames(FOLDER);
  const browser = await chromium.launch({ executablePath: chromiumPath(), args: ['--no-sandbox', '--disable-gpu'] });
  const page = await browser.newPage();
  await page.goto(server.address);
  await page.waitForFunction(() => 'harness' in globalThis);
  const figures = [];
  for (const name of ['single.mp4', 'single.webm']) {
    const key = JSON.parse(readFileSync(`${FOLDER}${name.split('.')[0]}.json`, 'utf8'));
    for (const decoder of [true, false]) {
      const opened = await page.evaluate(
        ([file, with_]) => /** @type {any} */ (globalThis).harness.open(file, with_),
        [name, decoder],
      );
      for (const [kind, places] of Object.entries(walks(key.frames))) {
        for (const paused of kind === 'jump' ? [false] : [false, true]) {
          const options = paused ? { pauseMs: 100, ahead: kind === 'on' ? 1 : -1 } : {};
          const list = paused ? places.slice(0, 40) : places;
          const shown = await page.evaluate(
            ([l, bar, o]) => /** @type {any} */ (globalThis).harness.steps(l, bar, o),
            [list, key.barCode, options],
          );
          const ms = shown.map((one) => one.ms);
          figures.push({
            clip: name,
            by: opened.kind,
            steps: paused ? `${kind}, ten a second` : kind,
            exact: shown.filter((one) => one.asked === one.seen).length,
            of: shown.length,
            medianMs: rounded(quantile(ms, 0.5)),
            p95Ms: rounded(quantile(ms, 0.95)),
            mostHeldMiB: rounded(Math.max(...shown.map((one) => one.heldBytes)) / 2 ** 20),
            openMs: rounded(opened.openMs),
          });
        }
      }
    }
  }
  await browser.close();
  await server.close();
  return { figures };
}
