import { expect, test, type Page } from '@playwright/test';
import { readFileSync } from 'node:fs';
import type { TallyRecord } from '../../src/lib/records/record.ts';
import { plain } from '../../src/lib/findings/sentences-parts.ts';
import { correctedSharesLead, correctedShiftLead } from '../../src/lib/findings/sections/corrected/words.ts';
import { axeFaults } from '../helpers/axe-faults.ts';
import { answersOfFile, correctedRuns, findingsOfCorrectedRun } from '../helpers/corrected-cases.ts';
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
  await expect(shares.getByRole('img', { name: /intervals\. [A-Z].*called .*corrected/ })).toBeVisible();
  await expect(shares.getByRole('img', { name: /intervals\. midfoot.*called .*corrected/ })).toBeVisible();
  await shares.getByText('What the corrected figures take for granted').click();
  await expect(shares.getByText('Practice clips show runners from the side that observers stand on.')).toBeVisible();
  expect(await axeFaults(page)).toEqual([]);

  // Kept with the race, until it is taken out.
  await page.reload();
  await practice.getByRole('button', { name: 'Take them out' }).click();
  await expect(file).toBeVisible();
  await expect(shares.locator('p.lead')).not.toContainText('allowing for that');
});

/** Puts the answers of the case on the device as sessions on a clip set, one an observer. */
async function keepSessions(page: Page): Promise<void> {
  const answers = answersOfFile(readFileSync(run.practice!));
  const clips = [
    ...new Map(answers.map(({ item, keyLeft, keyRight }) => [item, { item, keyLeft, keyRight }])).values(),
  ];
  const sessions = [...new Set(answers.map(({ observer }) => observer))].map((observer, i) => ({
    ...{ id: `session-${observer}`, observer, startedAt: i + 1, kind: 'clips', set: 'Causeway', clips, rate: 1 },
  }));
  const given = answers.map(({ item, observer, left, right }, i) => ({
    ...{ session: `session-${observer}`, position: i + 1, item, left, right, responseMs: 900, shownAt: i, voided: 0 },
  }));
  await page.evaluate(
    async ([sessions, given]) => {
      const db = await new Promise<IDBDatabase>((resolve, reject) => {
        const request = indexedDB.open('kerbside');
        request.onsuccess = () => resolve(request.result);
        request.onerror = () => reject(request.error ?? new Error('no database'));
      });
      const transaction = db.transaction(['practiceSessions', 'practiceAnswers'], 'readwrite');
      for (const session of sessions) transaction.objectStore('practiceSessions').put(session);
      for (const answer of given) transaction.objectStore('practiceAnswers').put(answer);
      await new Promise<void>((resolve, reject) => {
        transaction.oncomplete = () => resolve();
        transaction.onabort = () => reject(transaction.error ?? new Error('keeping failed'));
      });
      db.close();
    },
    [sessions, given] as const,
  );
}

test('practice kept on the device corrects Findings and Club', async ({ page }) => {
  await seedRace(page, { race, startList: [], results: [], records: records() });
  await keepSessions(page);
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
  await expect(page.locator('#shares p.lead')).not.toContainText('allowing for that');
  await practice.getByRole('button', { name: 'Use the 228 kept on this device' }).click();
  await expect(page.locator('#shares p.lead')).toHaveText(lead);
});
