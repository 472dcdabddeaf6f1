import { expect, test, type Page } from '@playwright/test';
import { axeFaults } from '../helpers/browser/axe-faults.ts';
import { keptRows, openTally, tapFeet, tapKeys, untilKept } from '../helpers/tally/tally-race.ts';

test.use({ hasTouch: true, viewport: { width: 390, height: 844 } });

/** Sets the page's clock as somebody would set the tablet's: `performance.now` runs on. */
const setClock = (page: Page, byMs: number) =>
  page.evaluate((ms) => {
    const wall = Date.now.bind(Date);
    Date.now = () => wall() + ms;
  }, byMs);

async function tally(page: Page, bib: string, count: number): Promise<void> {
  await tapKeys(page, ...bib);
  await tapFeet(page, 'both-midfoot');
  await untilKept(page, count);
}

test('a clock that is set while somebody tallies is said at once, and records keep their order', async ({ page }) => {
  await openTally(page);
  await tally(page, '101', 1);
  const said = page.getByRole('alert');
  await expect(said).toHaveCount(0);

  await setClock(page, -3 * 3_600_000);
  await tally(page, '102', 2);
  await expect(said).toContainText('clock jumped 3 h 00 min back');
  expect(await axeFaults(page)).toEqual([]);
  await said.getByRole('button', { name: 'Noted' }).click();
  await expect(said).toHaveCount(0);

  await setClock(page, 20 * 365.25 * 86_400_000);
  await tally(page, '103', 3);
  await expect(said).toContainText('clock jumped 20 years ahead');
  // Set right again: nothing is left to say.
  await setClock(page, -20 * 365.25 * 86_400_000);
  await tally(page, '104', 4);
  await expect(said).toHaveCount(0);

  const rows = (await keptRows(page)).sort((a, b) => a.seq - b.seq);
  expect(rows.map(({ record }) => record.bib)).toEqual(['101', '102', '103', '104']);
  expect(rows.map(({ seq }) => seq)).toEqual([1, 2, 3, 4]);
  const last = page.getByRole('button', { name: /^Correct / });
  await expect(last.first()).toContainText('104');
  await page.reload();
  await expect(last.first()).toContainText('104');
});
