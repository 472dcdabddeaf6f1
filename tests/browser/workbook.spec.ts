import { expect, test } from '@playwright/test';
import { axeFaults } from '../helpers/browser/axe-faults.ts';
import { makeWorkbook, number, text } from '../helpers/make-workbook.ts';

test('results from a workbook: the sheet is chosen, and bibs written otherwise are met', async ({ page }) => {
  await page.goto('/');
  await page.getByRole('button', { name: 'Open the demo race' }).click();
  await page.waitForURL(/\/findings/);
  await page.goto(page.url().replace(/findings.*/, 'setup'));
  const head = [text('Bib'), text('Time')];
  const four = (hour: number) => [number(hour / 24, 1)];
  const runners = Array.from({ length: 1400 }, (_, i) => [text(`00${i + 1}`), ...four(4)]);
  const bytes = makeWorkbook([
    { name: 'Relay', rows: [head, [text('R1'), ...four(3)]] },
    { name: 'Marathon', rows: [head, ...runners] },
  ]);
  const panel = page.getByRole('region', { name: 'Results', exact: true });
  await panel.getByLabel(/^Load results/).setInputFiles({
    name: 'results.xlsx',
    mimeType: 'application/vnd.openxmlformats-officedocument.spreadsheetml.sheet',
    buffer: Buffer.from(bytes),
  });
  await expect(panel.getByRole('heading', { name: 'results.xlsx: 1 runner read' })).toBeVisible();
  await panel.getByLabel('Sheet of the workbook, one of 2').selectOption('Marathon');
  await expect(panel.getByRole('heading', { name: 'results.xlsx: 1,400 runners read' })).toBeVisible();
  await expect(panel.getByText('None of these bibs was sighted')).toBeVisible();
  expect(await axeFaults(page)).toEqual([]);
  await panel.getByRole('button', { name: 'Take them without leading zeros' }).click();
  await expect(panel.getByText('None of these bibs was sighted')).toHaveCount(0);
});
