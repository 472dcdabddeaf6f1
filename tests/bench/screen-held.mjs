import { CODE_SIZES } from '../../src/lib/screen/code-size.ts';
import { CodeSequence } from '../../src/lib/screen/code-sequence.ts';
import { packPayload } from '../../src/lib/screen/pack-payload.ts';
import { codesOf, seeingCodes } from '../helpers/screen/fake-camera.ts';
import { makeRecords } from '../reference/screen/make-records.mjs';

const SESSION = 20_261_005;
const GOAL_MS = 50;

/** Collects how long the page was held at a time. To be run on the page before anything else. */
function watchHeld() {
  window.held = [];
  new PerformanceObserver((list) => {
    for (const { duration } of list.getEntries()) window.held.push(Math.round(duration));
  }).observe({ type: 'longtask' });
}

/** The longest the page was held during `work`, in ms, and how often it was held for over 50 ms. */
async function heldWhile(page, work) {
  await page.evaluate(() => (window.held.length = 0));
  await work();
  await page.waitForTimeout(300);
  const held = await page.evaluate(() => window.held);
  return { longestMs: Math.max(0, ...held), over50: held.length, goalMs: GOAL_MS };
}

/** How long packing, filming and taking the largest hand-off hold the page at a time: taps wait for that long. */
export async function measureHeld(url, records = 20_000) {
  const file = makeRecords(records);
  const packed = packPayload(file);
  if (!packed.ok) throw new Error(packed.error.type);
  const blocks = Math.ceil(packed.value.bytes.length / CODE_SIZES.fine.blockBytes);
  const sequence = new CodeSequence(packed.value.bytes, 'fine', SESSION);
  const texts = Array.from({ length: blocks + 40 }, (_, n) => sequence.text(n));
  const codes = codesOf(texts, CODE_SIZES.fine.qrVersion);
  let figures;
  // The blocks in another order than they are numbered: as after many that were lost, every sum then costs its full work.
  const order = codes.slice(20).reverse();
  await seeingCodes(order, async (browser) => {
    const page = await (await browser.newContext({ serviceWorkers: 'block' })).newPage();
    await page.addInitScript(watchHeld);
    await page.goto(`${url}/join`);
    const filming = await heldWhile(page, async () => {
      await page.getByRole('button', { name: 'Film another tablet’s codes' }).click();
      await page.getByText(' parts').first().waitFor();
      await page.getByRole('button', { name: `Take ${records} records` }).waitFor({ timeout: 300_000 });
    });
    const taking = await heldWhile(page, async () => {
      await page.getByRole('button', { name: `Take ${records} records` }).click();
      await page.getByRole('link', { name: /^Open / }).waitFor({ timeout: 120_000 });
    });
    await page.getByRole('link', { name: /^Open / }).click();
    await page.getByRole('button', { name: 'Show to another tablet' }).waitFor();
    await page.waitForTimeout(1500);
    const packing = await heldWhile(page, async () => {
      await page.getByRole('button', { name: 'Show to another tablet' }).click();
      await page.getByRole('button', { name: 'Show the codes' }).waitFor({ timeout: 120_000 });
    });
    const showing = await heldWhile(page, async () => {
      await page.getByRole('button', { name: 'Show the codes' }).click();
      await page.waitForTimeout(3000);
    });
    figures = { records, blocks, filming, taking, packing, showing };
  });
  return figures;
}
