import { expect, test, type Page } from '@playwright/test';
import { keptRows, openTally, tapFeet, tapKeys, untilKept } from '../helpers/tally/tally-race.ts';

test.use({ hasTouch: true, isMobile: true, viewport: { width: 390, height: 844 } });

interface Felt {
  readonly what: 'vibrate' | 'click' | 'durable';
}

/**
 * Notes in one row when the device vibrates or clicks and when the storage says that a record is durable: its transaction is
 * complete. The page hears of that after this listener.
 */
async function watchFeedback(page: Page): Promise<void> {
  await page.addInitScript(() => {
    const felt: { what: string }[] = [];
    const note = (what: string) => felt.push({ what });
    Object.assign(window, { felt });
    Object.defineProperty(Navigator.prototype, 'vibrate', { value: () => note('vibrate') > 0, configurable: true });
    const start = OscillatorNode.prototype.start;
    OscillatorNode.prototype.start = function (...args) {
      note('click');
      start.apply(this, args);
    };
    const transaction = IDBDatabase.prototype.transaction;
    IDBDatabase.prototype.transaction = function (...args) {
      const made = transaction.apply(this, args);
      if (made.mode === 'readwrite' && [...made.objectStoreNames].includes('records')) {
        made.addEventListener('complete', () => note('durable'));
      }
      return made;
    };
  });
}

const felt = (page: Page) =>
  page.evaluate(() => (window as unknown as { felt: Felt[] }).felt.splice(0).map((one) => one.what));

async function choose(page: Page, wanted: Record<string, boolean>): Promise<void> {
  await page.getByRole('button', { name: 'Station and options' }).tap();
  for (const [name, on] of Object.entries(wanted)) await page.getByRole('checkbox', { name }).setChecked(on);
  await page.getByRole('button', { name: 'Back to Tally' }).tap();
}

test('vibration and click come once a record, after it is durable, and only when they are switched on', async ({
  page,
}) => {
  await watchFeedback(page);
  await openTally(page);
  await felt(page);
  await tapKeys(page, ...'512');
  expect(await felt(page)).toEqual([]);
  await tapFeet(page, 'both-rearfoot');
  await untilKept(page, 1);
  // As a device comes: it vibrates and is silent.
  expect(await felt(page)).toEqual(['durable', 'vibrate']);

  await choose(page, { 'Vibrate when': true, 'Click when': true });
  await tapKeys(page, ...'513');
  await tapFeet(page, 'both-rearfoot');
  await untilKept(page, 2);
  expect(await felt(page)).toEqual(['durable', 'vibrate', 'click']);

  await choose(page, { 'Vibrate when': false });
  await tapKeys(page, 'Undo');
  await untilKept(page, 3);
  expect(await felt(page)).toEqual(['durable', 'click']);

  await choose(page, { 'Click when': false });
  await tapKeys(page, ...'514', 'Walking');
  await untilKept(page, 4);
  expect(await felt(page)).toEqual(['durable']);
});

test('a record that cannot be kept is not felt as kept', async ({ page }) => {
  await watchFeedback(page);
  await openTally(page);
  await choose(page, { 'Click when': true });
  await felt(page);
  await page.evaluate(() => {
    const { add, put } = IDBObjectStore.prototype;
    const full = () => {
      throw new DOMException('no room', 'QuotaExceededError');
    };
    Object.assign(IDBObjectStore.prototype, { add: full, put: full });
    Object.assign(window, { makeRoom: () => Object.assign(IDBObjectStore.prototype, { add, put }) });
  });
  await tapKeys(page, ...'512');
  await tapFeet(page, 'both-rearfoot');
  await expect(page.getByRole('alert')).toContainText('Not kept: 1.');
  expect((await felt(page)).filter((what) => what !== 'durable')).toEqual([]);
  expect(await keptRows(page)).toEqual([]);
  await page.evaluate(() => (window as unknown as { makeRoom: () => void }).makeRoom());
  await page.getByRole('button', { name: 'Try again' }).tap();
  await untilKept(page, 1);
  expect((await felt(page)).slice(-3)).toEqual(['durable', 'vibrate', 'click']);
});

test('the flash comes with every record, and the next tap ends it', async ({ page }) => {
  await openTally(page);
  const seen = await page.evaluate(async () => {
    const main = document.querySelector('main')!;
    const frame = document.querySelector('.feet [aria-hidden="true"]')!;
    const shows = () => getComputedStyle(frame).opacity === '1';
    const down = (target: Element) =>
      target.dispatchEvent(new PointerEvent('pointerdown', { bubbles: true, button: 0, pointerType: 'touch' }));
    const pad = document.querySelector('[aria-label="Bib pad"]')!;
    const digit = [...pad.querySelectorAll('button')].find((key) => key.textContent.trim() === '5')!;
    const seen: boolean[] = [];
    for (let n = 1; n <= 3; n += 1) {
      down(digit);
      const kept = new Promise<void>((resolve) => {
        new MutationObserver(() => resolve()).observe(main, { attributeFilter: ['data-kept'] });
      });
      down(document.querySelector('[data-cell="both-midfoot"]')!);
      const before = shows();
      await kept;
      const after = shows();
      down(pad.querySelector('[aria-label="Erase"]')!);
      seen.push(before, after, shows());
      // Two taps of one key within 40 ms count as one.
      await new Promise((resolve) => setTimeout(resolve, 60));
    }
    return seen;
  });
  expect(seen).toEqual([1, 2, 3].flatMap(() => [false, true, false]));
});
