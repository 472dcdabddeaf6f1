import { expect, test, type Page } from '@playwright/test';
import { keptCount, keptRows, openTally, tapFeet, tapKeys, untilKept } from '../helpers/tally/tally-race.ts';
import { middleOf, touches } from '../helpers/browser/touches.ts';

const BIBS = Array.from({ length: 10 }, (_, i) => String(1710 + i));

test.use({ hasTouch: true, isMobile: true, viewport: { width: 390, height: 844 }, serviceWorkers: 'block' });

/** A slow disk: what is written counts as durable only when the test lets go. */
async function holdWrites(page: Page): Promise<void> {
  await page.addInitScript(() => {
    const held: (() => void)[] = [];
    Object.assign(window, { letGo: () => held.splice(0).forEach((go) => go()) });
    const transaction = IDBDatabase.prototype.transaction;
    IDBDatabase.prototype.transaction = function (...args) {
      const made = transaction.apply(this, args);
      if (made.mode === 'readwrite' && [...made.objectStoreNames].includes('records')) {
        Object.defineProperty(made, 'oncomplete', {
          set: (done: () => void) => made.addEventListener('complete', () => held.push(done)),
        });
      }
      return made;
    };
  });
}

const letGo = (page: Page) => page.evaluate(() => (window as unknown as { letGo: () => void }).letGo());
const candidates = (page: Page) => page.getByRole('button', { name: /^Bib \d/ }).allTextContents();

test('candidates stay in their places when the record before them is kept while the thumb aims', async ({ page }) => {
  await holdWrites(page);
  await openTally(page, { bibs: BIBS });
  await tapKeys(page, ...'1711');
  await tapFeet(page, 'both-rearfoot');
  await tapKeys(page, ...'171');
  const aimedAt = await candidates(page);
  expect(aimedAt.map((text) => text.trim())).toEqual(['1710', '1711', '1712']);
  await letGo(page);
  await untilKept(page, 1);
  await expect(page.getByText('1 tallied')).toBeVisible();
  expect(await candidates(page)).toEqual(aimedAt);
  // Typed anew, whoever was tallied makes room.
  await tapKeys(page, 'Erase', '1');
  expect((await candidates(page)).map((text) => text.trim())).toEqual(['1710', '1712', '1713']);
});

test('an undo that waits for the storage takes back the record it meant, not what was tapped since', async ({
  page,
}) => {
  await holdWrites(page);
  await openTally(page, { bibs: BIBS });
  await tapKeys(page, ...'1711');
  await tapFeet(page, 'both-rearfoot');
  await tapKeys(page, 'Undo');
  await tapFeet(page, 'left-midfoot');
  await letGo(page);
  await untilKept(page, 1);
  await expect.poll(async () => (await letGo(page), keptCount(page))).toBe(2);
  const [kept, undone] = await keptRows(page);
  expect(undone?.record).toMatchObject({ kind: 'withdrawal', target: kept?.id });
  await expect(page.locator('[data-cell="left-midfoot"]')).toHaveAttribute('aria-pressed', 'true');
});

test('a tap on the row means the bib that is seen there, also while the row is one runner behind', async ({ page }) => {
  await openTally(page, { bibs: BIBS });
  for (const bib of ['1713', '1714', '1715', '1716']) await tapKeys(page, ...bib, 'Line up');
  // Two thumbs, before the screen can show that the first of the row is tallied.
  await page.evaluate(() => {
    const click = (selector: string) => document.querySelector<HTMLElement>(selector)!.click();
    click('[data-cell="both-rearfoot"]');
    click('[aria-label="1715: next"]');
    click('[data-cell="both-midfoot"]');
    click('[aria-label="Drop 1714"]');
    click('[aria-label="1713: next"]');
    click('[data-cell="both-forefoot"]');
  });
  await untilKept(page, 3);
  expect((await keptRows(page)).map(({ record }) => [record.bib, record.left])).toEqual([
    ['1713', 'rearfoot'],
    ['1715', 'midfoot'],
    ['1716', 'forefoot'],
  ]);
});

test('a finger on a letter types that letter alone, though the page of the pad turns under it', async ({ page }) => {
  const letters = [...'ABCDEFGHKLMN'];
  await openTally(page, { bibs: letters.map((letter, i) => `${letter}${i}7`) });
  const finger = await touches(page);
  const field = page.getByRole('group', { name: 'Whose feet come next' }).locator('output');
  for (const [letter, pages] of [
    ['H', 1],
    ['N', 2],
  ] as const) {
    for (let turned = 0; turned < pages; turned += 1) await tapKeys(page, 'Letters');
    await finger.down(await middleOf(page.getByRole('button', { name: letter, exact: true })));
    await expect(page.getByRole('button', { name: '1', exact: true })).toBeVisible();
    await finger.up();
    await tapKeys(page, 'Line up');
    await expect(field).toHaveText('H');
  }
  await expect(page.getByRole('button', { name: /: next$/ })).toHaveText(['H', 'N']);
});

test('a finger on a candidate takes that one alone, also in a correction', async ({ page }) => {
  await openTally(page, { bibs: ['17', ...BIBS] });
  await tapKeys(page, ...'1719');
  await tapFeet(page, 'both-rearfoot');
  await untilKept(page, 1);
  await page.getByRole('button', { name: /^Correct 1719/ }).tap();
  await tapKeys(page, '1');
  const finger = await touches(page);
  await finger.down(await middleOf(page.getByRole('button', { name: 'Bib 17', exact: true })));
  await finger.up();
  await tapKeys(page, 'Save');
  await untilKept(page, 2);
  expect((await keptRows(page))[1]?.record.bib).toBe('17');
});

test('what is open for correction can be withdrawn, though another tab pushed it off the last five', async ({
  page,
  context,
}) => {
  await openTally(page, { bibs: BIBS });
  await tapKeys(page, ...'1719');
  await tapFeet(page, 'both-rearfoot');
  await untilKept(page, 1);
  await page.getByRole('button', { name: /^Correct 1719/ }).tap();
  const other = await context.newPage();
  await other.goto(page.url());
  await other.getByRole('group', { name: 'Foot grid' }).waitFor();
  for (const bib of BIBS.slice(0, 5)) {
    await tapKeys(other, ...bib);
    await tapFeet(other, 'both-midfoot');
  }
  await untilKept(other, 5);
  await page.bringToFront();
  await expect(page.getByText('6 tallied')).toBeVisible();
  await page.getByRole('button', { name: 'Withdraw' }).tap();
  await expect(page.getByRole('button', { name: '1719 redo' })).toBeVisible();
  await expect(page.getByText('5 tallied')).toBeVisible();
  const rows = await keptRows(page);
  expect(rows.at(-1)?.record).toMatchObject({ kind: 'withdrawal', target: rows[0]?.id });
});
