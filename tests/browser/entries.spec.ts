import { expect, test } from '@playwright/test';
import { axeFaults } from '../helpers/browser/axe-faults.ts';
import { fillWithOwnRecords } from '../helpers/tally/tally-bench.ts';
import { keptRows, openTally, TALLY_RACE, tapFeet, tapKeys, untilKept } from '../helpers/tally/tally-race.ts';

test.use({ hasTouch: true, viewport: { width: 390, height: 844 }, serviceWorkers: 'block' });

test('all that was tallied here can be found by bib and by time, corrected, withdrawn and restored', async ({
  page,
}) => {
  await openTally(page, { kms: [5, 30], places: 'places apart' });
  for (const [n, bib] of ['1711', '1712', '88', '5', '6', '7', '8'].entries()) {
    await tapKeys(page, ...bib);
    await tapFeet(page, 'both-rearfoot');
    await untilKept(page, n + 1);
  }
  await page.goto(`/races/${TALLY_RACE}/entries`);
  const list = page.getByRole('list', { name: 'Entries' });
  await expect(list.getByRole('button')).toHaveCount(7);
  const observedAt = new Date((await keptRows(page))[0]!.record.observedAt!);
  const search = page.getByRole('searchbox');
  await search.fill(`${observedAt.getUTCHours() + 25}:`);
  await expect(list.getByRole('button')).toHaveCount(0);
  await search.fill('171');
  await expect(list.getByRole('button')).toHaveCount(2);
  expect(await axeFaults(page)).toEqual([]);

  await list.getByRole('button', { name: /^1711/ }).click();
  const form = page.getByRole('region', { name: 'Correct 1711' });
  await form.getByLabel('Bib').fill('1719');
  await form.getByLabel('Checkpoint').selectOption({ label: 'Mill Bridge 30, km 30' });
  await form.locator('[data-cell="left-midfoot"]').click();
  expect(await axeFaults(page)).toEqual([]);
  await form.getByRole('button', { name: 'Save' }).click();
  await expect(list.getByRole('button', { name: /^1719/ })).toContainText('left midfoot, right rearfoot');
  await expect(list.getByRole('button', { name: /^1719/ })).toContainText('Mill Bridge 30, km 30 · N4 · corrected');
  expect((await keptRows(page)).at(-1)!.record).toMatchObject({
    ...{ kind: 'correction', bib: '1719', checkpoint: 'at-30', left: 'midfoot', right: 'rearfoot' },
  });

  await list.getByRole('button', { name: /^1712/ }).click();
  await page.getByRole('button', { name: 'Withdraw' }).click();
  await expect(list.getByRole('button', { name: /^1712/ })).toHaveCount(0);
  await page.getByRole('checkbox', { name: 'withdrawn too' }).check();
  await list.getByRole('button', { name: /^1712/ }).click();
  await page.getByRole('button', { name: 'Restore it' }).click();
  await expect(page.getByRole('status')).toContainText('Restored: 1712.');
  await page.goto(`/races/${TALLY_RACE}/tally`);
  await expect(page.getByText('7 tallied')).toBeVisible();
});

test('of thousands of entries the oldest is found, and what is corrected shows at once', async ({ page }) => {
  await openTally(page);
  await fillWithOwnRecords(page, 2500);
  await page.goto(`/races/${TALLY_RACE}/entries`);
  await expect(page.getByText('2,500 of 2,500, newest first.')).toBeVisible();
  await expect(page.getByRole('progressbar')).toHaveCount(0);
  const list = page.getByRole('list', { name: 'Entries' });
  await expect(list.getByRole('button').first()).toHaveAccessibleName(/^3500 /);
  await page.getByRole('searchbox').fill('1001');
  await list.getByRole('button', { name: /^1001 / }).click();
  await page.getByRole('button', { name: 'Withdraw' }).click();
  await expect(list.getByRole('button')).toHaveCount(0);
  await page.getByRole('searchbox').fill('');
  await expect(page.getByText('2,499 of 2,500, newest first.')).toBeVisible();
});
