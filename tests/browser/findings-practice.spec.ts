import { expect, test } from '@playwright/test';
import { readFileSync } from 'node:fs';
import { plain } from '../../src/lib/findings/sentences/sentences-parts.ts';
import { correctedSharesLead, correctedShiftLead } from '../../src/lib/findings/sections/corrected/words.ts';
import { axeFaults } from '../helpers/browser/axe-faults.ts';
import { findingsOfCorrectedRun } from '../helpers/findings/corrected-cases.ts';
import { keepPractisedSessions, practisedRace, practisedRun } from '../helpers/findings/practised-race.ts';
import { seedRace } from '../helpers/browser/seed-race.ts';

const run = practisedRun;
const { race } = practisedRace;
const flat = (text: string): string => text.replaceAll(/\s+/g, ' ').trim();

test('a practice file corrects Findings as it does on the command line, and can be taken out', async ({ page }) => {
  await seedRace(page, practisedRace);
  await page.goto(`/races/${race.id}/findings`);
  const practice = page.getByRole('group', { name: 'Practice that corrects the shares' });
  const file = practice.getByLabel('Practice file of the observers');
  const shares = page.locator('#shares');
  await expect(file).toBeVisible();

  const csv = (text: string) => ({ name: 'heel.csv', mimeType: 'text/csv', buffer: Buffer.from(text) });
  await file.setInputFiles(csv('item,observer,key_left,key_right,left,right\nc1,T1,heel,midfoot,midfoot,midfoot\n'));
  await expect(practice.getByText('heel.csv is not used. row 2, column key_left: "heel" is not one of')).toBeVisible();

  await file.setInputFiles({ name: 'practice.csv', mimeType: 'text/csv', buffer: readFileSync(run.practice!) });
  await expect(practice.getByText('228 answers to')).toContainText('by T1, T2, T3 and T4, from practice.csv');
  const findings = findingsOfCorrectedRun(run);
  const focus = ['Toll House', 'Long Groyne'];
  await expect(shares.locator('p.lead')).toHaveText(flat(plain(correctedSharesLead(findings, 0.95, focus)!)));
  await expect(page.locator('#shift p.lead')).toHaveText(flat(plain(correctedShiftLead(findings, 0.95)!)));
  await expect(shares.getByRole('img', { name: /intervals\. [A-Z].*called .*corrected/ })).toBeVisible();
  await expect(shares.getByRole('img', { name: /intervals\. midfoot.*called .*corrected/ })).toBeVisible();
  await shares.getByText('What the correction assumes').click();
  await expect(shares.getByText('Practice clips show runners from the side that observers stand on.')).toBeVisible();
  expect(await axeFaults(page)).toEqual([]);

  // Kept with the race, until it is taken out.
  await page.reload();
  await practice.getByRole('button', { name: 'Take them out' }).click();
  await expect(file).toBeVisible();
  await expect(shares.locator('p.lead')).not.toContainText('allowing for');
});

test('practice kept on the device corrects Findings and Club', async ({ page }) => {
  await seedRace(page, practisedRace);
  await keepPractisedSessions(page);
  await page.goto(`/races/${race.id}/findings`);
  const practice = page.getByRole('group', { name: 'Practice that corrects the shares' });
  await expect(practice.getByText('228 answers to')).toContainText('by T1, T2, T3 and T4, kept on this device');
  const findings = findingsOfCorrectedRun(run);
  const lead = flat(plain(correctedSharesLead(findings, 0.95, ['Toll House', 'Long Groyne'])!));
  await expect(page.locator('#shares p.lead')).toHaveText(lead);

  await page.goto(`/races/${race.id}/findings/club?bibs=4171,3555`);
  const field = page.getByText('The whole field, corrected.');
  await expect(field.locator('..')).toContainText(flat(plain(correctedShiftLead(findings, 0.95)!)));

  await page.goto(`/races/${race.id}/findings`);
  await practice.getByRole('button', { name: 'Take them out' }).click();
  await expect(page.locator('#shares p.lead')).not.toContainText('allowing for');
  await practice.getByRole('button', { name: 'Use the 228 kept on this device' }).click();
  await expect(page.locator('#shares p.lead')).toHaveText(lead);
});
