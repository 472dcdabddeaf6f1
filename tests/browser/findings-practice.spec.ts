import { expect, test } from '@playwright/test';
import { readFileSync } from 'node:fs';
import type { TallyRecord } from '../../src/lib/records/record.ts';
import { plain } from '../../src/lib/findings/sentences-parts.ts';
import { correctedSharesLead, correctedShiftLead } from '../../src/lib/findings/sections/corrected/words.ts';
import { axeFaults } from '../helpers/axe-faults.ts';
import { correctedRuns, findingsOfCorrectedRun } from '../helpers/corrected-cases.ts';
import { seedRace } from '../helpers/seed-race.ts';

// The case `practice` of cases-corrected: its figures are held to R's by corrected-cases.test.ts.
const run = correctedRuns().find(({ name }) => name === 'practice/expected.json')!;
const flat = (text: string): string => text.replaceAll(/\s+/g, ' ').trim();

const race = {
  id: '11111111-2222-4333-8444-666666666666',
  name: 'Causeway Half',
  date: '2032-05-12',
  checkpoints: [
    { id: 'toll', name: 'Toll House', km: 4 },
    { id: 'groyne', name: 'Long Groyne', km: 18 },
  ],
};

/** The sightings of the case, whose fields hold neither commas nor quotes, as records. */
function records(): TallyRecord[] {
  const [, ...lines] = readFileSync(run.sightings, 'utf8').trim().split(/\r?\n/);
  return lines.map((line, i): TallyRecord => {
    const [, , checkpoint, , bib, left, right, observer, method, observedAt] = line.split(',');
    const at = new Date(observedAt!).toISOString();
    return {
      ...{ kind: 'sighting', id: `01970000-0000-7000-8000-${String(i).padStart(12, '0')}`, race: race.id },
      ...{ observer: observer!, device: 'device', seq: i + 1, madeAt: at, observedAt: at },
      checkpoint: race.checkpoints.find(({ name }) => name === checkpoint)!.id,
      bib: bib!.trim() || null,
      ...{ left: left as 'rearfoot', right: right as 'rearfoot', method: method as 'live' },
    };
  });
}

test('a practice file corrects Findings as it does on the command line, and can be taken out', async ({ page }) => {
  await seedRace(page, { race, startList: [], results: [], records: records() });
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
  await expect(shares.getByRole('img', { name: /called .* corrected/ })).toBeVisible();
  await shares.getByText('What the corrected figures take for granted').click();
  await expect(shares.getByText('Practice clips show runners from the side that observers stand on.')).toBeVisible();
  expect(await axeFaults(page)).toEqual([]);

  // Kept with the race, until it is taken out.
  await page.reload();
  await practice.getByRole('button', { name: 'Take them out' }).click();
  await expect(file).toBeVisible();
  await expect(shares.locator('p.lead')).not.toContainText('allowing for that');
});
