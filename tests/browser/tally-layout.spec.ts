import { expect, test, type Page } from '@playwright/test';
import { axeFaults } from '../helpers/browser/axe-faults.ts';
import { keptRows, openTally, tapFeet, tapKeys, untilKept } from '../helpers/tally/tally-race.ts';
import {
  faultsOfLayout,
  outOfReach,
  PHONES_AND_TABLETS,
  placesOfKeys,
  SMALLEST,
  smallestTargets,
  ZOOMED,
  type Size,
} from '../helpers/tally/tally-layout.ts';

const RACE = {
  kms: [10, 20, 30],
  // 17 is on the list, and others begin with it: what is said of it stands beside candidates.
  bibs: ['17', ...Array.from({ length: 90 }, (_, i) => String(1700 + i))],
  samplingRule: { kind: 'windows', everyMinutes: 20, onMinutes: 5 },
};

test.use({ hasTouch: true, isMobile: true });
test.describe.configure({ mode: 'parallel' });

/** The states that show the most. */
const BUSY = ['a pack lined up, candidates shown', 'correcting', 'not kept, in a file'];

/** Brings the screen into every state that shows something more, and hands each over to be looked at. */
async function throughStates(page: Page, look: (state: string) => Promise<void>): Promise<void> {
  await look('nothing tallied');
  for (const bib of ['1711', '1712', '1713', '1714', '1715']) {
    await tapKeys(page, ...bib);
    await tapFeet(page, bib === '1713' ? 'both-unseen' : 'both-rearfoot');
  }
  await untilKept(page, 5);
  await look('five tallied');
  for (const bib of ['1701', '1702', '1703', '1704']) await tapKeys(page, ...bib, 'Line up');
  await tapKeys(page, ...'17');
  await look('a pack lined up, candidates shown');
  await tapFeet(page, 'left-midfoot');
  await look('one foot tapped');
  await tapKeys(page, 'Undo', 'Erase', 'Erase');
  await page.getByRole('button', { name: /^Correct 1713/ }).tap();
  await look('correcting');
  await tapKeys(page, ...'17');
  await look('correcting, another bib typed');
  await page.getByRole('button', { name: 'Cancel' }).tap();
  await tapKeys(page, 'Undo');
  await untilKept(page, 6);
  await look('one taken back');
  await page.evaluate(() => {
    IDBObjectStore.prototype.add = () => {
      throw new DOMException('no room', 'QuotaExceededError');
    };
  });
  await tapFeet(page, 'both-forefoot');
  await page.getByRole('alert').waitFor();
  await look('not kept');
  await Promise.all([page.waitForEvent('download'), page.getByRole('button', { name: 'Save as file' }).tap()]);
  await page.getByRole('button', { name: /is saved: clear/ }).waitFor();
  await look('not kept, in a file');
}

/** Turns and resizes the screen, and waits until it is drawn anew. */
async function resize(page: Page, [width, height]: Size): Promise<void> {
  await page.setViewportSize({ width, height });
  await page.evaluate(() => new Promise((resolve) => requestAnimationFrame(() => requestAnimationFrame(resolve))));
}

/** At each size nothing is cut off, overlaps or scrolls in any state, and no key has moved since the screen was opened. */
async function everyStateFits(
  page: Page,
  sizes: readonly Size[],
  lookCloser?: (state: string, where: string) => Promise<void>,
): Promise<void> {
  const resting = new Map<Size, Record<string, number[]>>();
  await throughStates(page, async (state) => {
    for (const size of sizes) {
      const where = `${state}, ${size.join(' × ')}`;
      await resize(page, size);
      expect(await faultsOfLayout(page), where).toEqual([]);
      const places = await placesOfKeys(page);
      if (!resting.has(size)) resting.set(size, places);
      expect(places, where).toEqual(resting.get(size));
      await lookCloser?.(state, where);
    }
  });
}

async function chooseLeftHandAndDusk(page: Page): Promise<void> {
  await page.getByRole('button', { name: 'Station and options' }).tap();
  await page.getByRole('checkbox', { name: /Left-handed/ }).check();
  await page.getByRole('radio', { name: 'dusk' }).check();
  await page.getByRole('button', { name: 'Back to Tally' }).tap();
}

test('on phones and tablets, upright and across, all fits without scrolling, and no key moves whatever is shown', async ({
  page,
}) => {
  await openTally(page, RACE);
  await everyStateFits(page, PHONES_AND_TABLETS, async (state, where) => {
    if (state !== BUSY.at(-1)) return;
    const smallest = await smallestTargets(page);
    expect(smallest.feet, where).toBeGreaterThanOrEqual(64);
    expect(smallest.notSeen, where).toBeGreaterThanOrEqual(40);
    expect(smallest.pad, where).toBeGreaterThanOrEqual(40);
    // WCAG 2.2, 2.5.8 asks for 24.
    expect(smallest.any, where).toBeGreaterThanOrEqual(28);
  });
});

test('with the browser’s own bars on, and on the smallest phone held across, the keys shrink and nothing scrolls', async ({
  page,
}) => {
  await openTally(page, RACE);
  await everyStateFits(page, SMALLEST, async (state, where) => {
    if (state === BUSY.at(-1)) expect((await smallestTargets(page)).any, where).toBeGreaterThanOrEqual(24);
  });
});

test('left-handed at dusk all fits, and axe finds nothing in either light', async ({ page }) => {
  const sizes: Size[] = [
    [360, 640],
    [820, 1180],
    [740, 360],
  ];
  const axe = () => axeFaults(page, ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'wcag2aaa']);
  await openTally(page, RACE);
  for (const size of sizes) {
    await resize(page, size);
    expect(await axe(), size.join(' × ')).toEqual([]);
  }
  await chooseLeftHandAndDusk(page);
  await everyStateFits(page, sizes, async (state, where) => {
    if (BUSY.includes(state)) expect(await axe(), where).toEqual([]);
  });
});

test('zoomed in, nothing is wider than the screen, and every control is within reach', async ({ page }) => {
  await openTally(page, RACE);
  await throughStates(page, async (state) => {
    for (const size of ZOOMED) {
      const where = `${state}, ${size.join(' × ')}`;
      await resize(page, size);
      const wider = await page.evaluate(() => {
        const main = document.querySelector('main')!;
        return Math.max(main.scrollWidth, document.documentElement.scrollWidth) - innerWidth;
      });
      expect(wider, where).toBeLessThanOrEqual(0);
      expect(await outOfReach(page), where).toEqual([]);
    }
  });
});

test('where the screen scrolls, a finger may drag over the keys without tallying; a tap still counts', async ({
  page,
}) => {
  await resize(page, [320, 400]);
  await openTally(page, RACE);
  await tapKeys(page, ...'1701');
  const scrolled = () => page.evaluate(() => document.querySelector('main')!.scrollTop);
  await page.evaluate(() => document.querySelector('main')!.scrollTo(0, 0));
  const cdp = await page.context().newCDPSession(page);
  const touch = (type: 'touchStart' | 'touchMove' | 'touchEnd', y?: number) =>
    cdp.send('Input.dispatchTouchEvent', { type, touchPoints: y === undefined ? [] : [{ x: 160, y }] });
  const box = (await page.locator('[data-cell="both-midfoot"]').boundingBox())!;
  const from = box.y + box.height / 2;
  await touch('touchStart', from);
  for (let y = from; y > from - 120; y -= 12) await touch('touchMove', y);
  await touch('touchEnd');
  await expect.poll(scrolled).toBeGreaterThan(40);
  await tapFeet(page, 'both-forefoot');
  await untilKept(page, 1);
  expect((await keptRows(page)).map(({ record }) => [record.bib, record.left])).toEqual([['1701', 'forefoot']]);
});
