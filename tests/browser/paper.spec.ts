import { expect, test } from '@playwright/test';
import { axeFaults } from '../helpers/browser/axe-faults.ts';
import { keptRows, openTally, TALLY_RACE } from '../helpers/tally/tally-race.ts';

test('a sheet from paper is keyed in twice, ruled on, and kept with estimated times', async ({ page }) => {
  await openTally(page, { bibs: ['1734', '88', '512'] });
  await page.goto(`/races/${TALLY_RACE}/setup/sheet`);
  await expect(page.getByRole('region', { name: 'Mill Bridge 10 N4' }).getByRole('row')).toHaveCount(42);
  await page.getByRole('link', { name: 'Key a sheet in' }).click();
  await page.getByLabel('Observer code').fill('P1');
  await page.getByLabel('Checkpoint').selectOption({ label: 'Mill Bridge 10, km 10' });
  await page.getByLabel('Time at the head').fill('10:00');
  await page.getByLabel('Time at the foot').fill('10:02');
  await page.getByLabel('The sheet', { exact: true }).fill('1734 RR\n88 MX\n512 walk\nno F-');
  await expect(page.getByText('Line 2: “88 MX”')).toBeVisible();
  await expect(page.getByRole('button', { name: /^Keep/ })).toBeDisabled();
  await page.getByLabel('The sheet', { exact: true }).fill('1734 RR\n88 MF\n512 walk\nno F-');
  await page.getByLabel('A second person keys it in too').check();
  // The second person keys in on the grid of Tally.
  const second = page.getByLabel('The sheet, second person');
  await second.fill('1734 RR');
  await page.getByText('Key it in on the grid').nth(1).click();
  await page.getByRole('textbox', { name: 'Bib; empty for no bib' }).fill('88');
  await page.getByRole('button', { name: 'Both feet: midfoot' }).click();
  await page.getByRole('textbox', { name: 'Bib; empty for no bib' }).fill('512');
  await page.getByRole('button', { name: 'Walking' }).click();
  await page.getByRole('button', { name: 'Left foot: forefoot' }).click();
  await page.getByRole('button', { name: 'Right foot: not seen' }).click();
  await expect(second).toHaveValue('1734 RR\n88 MM\n512 walk\nno F-');
  expect(await axeFaults(page)).toEqual([]);
  await page.getByRole('radio', { name: '88, both midfoot' }).check();
  await page.getByRole('button', { name: 'Keep 4 runners' }).click();
  await expect(page.getByText('4 runners of the sheet kept.')).toBeVisible();
  const rows = (await keptRows(page)).map(({ record }) => record as typeof record & { timeEstimated?: boolean });
  expect(rows.map(({ bib, left, right, gait, timeEstimated }) => [bib, left, right, gait, timeEstimated])).toEqual([
    ['1734', 'rearfoot', 'rearfoot', undefined, true],
    ['88', 'midfoot', 'midfoot', undefined, true],
    ['512', 'unseen', 'unseen', 'walk', true],
    [null, 'forefoot', 'unseen', undefined, true],
  ]);
  const seconds = rows.map(({ observedAt }) => Date.parse(observedAt!) / 1000);
  expect(seconds.map((at) => at - seconds[0]!)).toEqual([0, 30, 60, 90]);
});
