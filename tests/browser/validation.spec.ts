import { expect, test } from '@playwright/test';
import { axeFaults } from '../helpers/axe-faults.ts';

test('Findings head Shares with the corrected figure, and draw whom to review', async ({ page }) => {
  await page.goto('/');
  await page.getByRole('button', { name: 'Open the demo race' }).click();
  await page.waitForURL(/\/findings/);
  const shares = page.locator('section#shares');

  // The demo race has clips of some runners: what observers misread is allowed for, and said first.
  await expect(shares.locator('p.lead')).toContainText(
    /Observers read .* wrongly, mostly \w+ as \w+; allowing for that/,
  );
  await expect(shares.getByText(/^As classified, not corrected:/)).toBeVisible();
  await expect(shares.getByRole('img', { name: /intervals\. [A-Z].*called .*corrected/ })).toBeVisible();
  await expect(shares.getByRole('img', { name: /intervals\. midfoot.*called .*corrected/ })).toBeVisible();
  await shares.getByText('What the corrected figures take for granted').click();
  await expect(shares.getByText('the clip counts as the truth')).toBeVisible();

  await shares.getByText('Which runners to review on clip').click();
  const old = shares.getByRole('region', { name: 'Review at Old Pier' });
  await expect(old.getByText(/reviewed without having been drawn, before any draw: chosen by hand/)).toBeVisible();
  await old.getByRole('button', { name: /^Draw \d+ runners at Old Pier$/ }).click();
  // A draw is a record of its own, in the lead's name; asked once.
  await old.getByLabel('Your code as lead').fill('L1');
  await old.getByRole('button', { name: 'Decide in this name' }).click();
  await expect(old.getByText(/with seed \d+: \d+ of \d+ reviewed/)).toBeVisible();
  const bibs = old.getByRole('region', { name: 'Bibs to review at Old Pier' });
  const first = await bibs.getByRole('listitem').first().innerText();
  expect(await axeFaults(page)).toEqual([]);

  // Kept with the race: the same list after a reload, and no second draw takes its place unseen.
  await page.reload();
  await expect(bibs.getByRole('listitem').first()).toHaveText(first);
  await old.getByRole('button', { name: 'Draw again at Old Pier' }).click();
  await expect(old.getByText('Earlier draws (1) stay in Export.')).toBeVisible();

  // Whoever reviews has the list too, with the time at which each should pass, and no live class.
  await page.goto(page.url().replace(/findings.*/, 'clips'));
  await page.getByText(/^To review at Old Pier: \d+ of \d+ done$/).click();
  const toDo = page.getByRole('main').getByRole('listitem');
  await expect(toDo.first()).toContainText(/^\s*\S+\s+\d\d:\d\d:\d\d/);
  await expect(page.getByRole('main')).not.toContainText(/midfoot|forefoot/);
  expect(await axeFaults(page)).toEqual([]);

  // Check leads here too.
  await page.goto(page.url().replace(/clips.*/, 'check'));
  await page.getByRole('link', { name: 'Which runners to review on clip' }).click();
  await expect(old.getByText('Earlier draws (1) stay in Export.')).toBeInViewport({ timeout: 20_000 });

  await page.goto(page.url().replace(/findings.*/, 'export'));
  await page.getByRole('button', { name: 'Make the files' }).click();
  await expect(page.getByText('who was drawn for review on clip, when and by which seed')).toBeVisible({
    timeout: 60_000,
  });
});
