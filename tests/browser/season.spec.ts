import { readFileSync } from 'node:fs';
import { expect, test, type Page } from '@playwright/test';
import { count, pointRange, signedPoints } from '../../src/lib/words/numbers.ts';
import { axeFaults } from '../helpers/browser/axe-faults.ts';
import { keepPractisedSessions, practisedRace, practisedRun } from '../helpers/findings/practised-race.ts';
import { seedRace } from '../helpers/browser/seed-race.ts';
import { smallRace } from '../helpers/records/small-race.ts';

const CASES = new URL('../reference/cases-pooled/', import.meta.url);
const caseFile = (name: string) => ({
  name: name.replace(/.*\//, ''),
  mimeType: 'application/json',
  buffer: readFileSync(new URL(name, CASES)),
});

async function threeRaces(page: Page): Promise<void> {
  await seedRace(page, { ...smallRace('Ford Spring Run', '2031-03-02', 60, 1), demo: false });
  await seedRace(page, { ...smallRace('Mill Summer Half', '2031-06-15', 80, 2), demo: false });
  await seedRace(page, { ...smallRace('Weir Autumn Twenty', '2031-10-05', 50, 3), demo: false });
}

interface PractisedFigures {
  corrected: {
    practice: {
      difference: {
        paired: number;
        observed: { difference: number };
        corrected: { difference: number; low: number; high: number };
      };
    };
  };
}

const lead = (page: Page) => page.locator('section p.lead');

test('races on the device stand as one answer, with people over them, by keyboard too', async ({ page }) => {
  await threeRaces(page);
  await page.goto('/');
  await page.getByRole('link', { name: 'Season' }).click();
  await expect(page.getByRole('heading', { name: '3 races together' })).toBeVisible();
  await expect(lead(page)).toContainText('Over 3 races the rearfoot share rose by');

  // A picture for each effect, a table beside it, the mean without each race under a fold.
  const shift = page.locator('figure', { hasText: 'Shift of the rearfoot share' });
  await expect(shift.getByRole('img')).toHaveAccessibleName(/Forest plot of 3 races.*Pooled/);
  await shift.getByText('Without each race in turn').click();
  await expect(shift.getByRole('rowheader', { name: 'Mill Summer Half' }).last()).toBeVisible();
  await expect(page.locator('figure')).toHaveCount(4);

  const people = page.getByRole('region', { name: 'People over races' }).last();
  await expect(people.getByRole('columnheader', { name: 'Weir Autumn Twenty' })).toBeVisible();
  await expect(people.getByRole('row').nth(1)).toContainText('Ford:');

  const box = page.getByRole('checkbox', { name: /Ford Spring Run/ });
  await box.focus();
  await page.keyboard.press('Space');
  await expect(page.getByRole('heading', { name: '2 races together' })).toBeVisible();

  for (const colorScheme of ['light', 'dark'] as const) {
    await page.emulateMedia({ colorScheme });
    expect(await axeFaults(page)).toEqual([]);
  }
});

test('level and checkpoints can be chosen; every race’s counts and the method stand on the page', async ({ page }) => {
  const spring = smallRace('Ford Spring Run', '2031-03-02', 60, 1);
  const bridge = spring.records.flatMap((record, i) =>
    record.kind === 'sighting' && record.checkpoint === 'mill'
      ? [
          {
            ...record,
            id: record.id.replace(/.$/, (c) => (c === '0' ? '1' : '0')),
            seq: 1000 + i,
            checkpoint: 'bridge',
          },
        ]
      : [],
  );
  const checkpoints = [...spring.race.checkpoints, { id: 'bridge', name: 'Bridge', km: 12 }];
  const withBridge = { ...spring, race: { ...spring.race, checkpoints }, records: [...spring.records, ...bridge] };
  await seedRace(page, { ...withBridge, demo: false });
  const summer = smallRace('Mill Summer Half', '2031-06-15', 80, 2);
  const records = summer.records.map((record, i) => (i === 0 ? { ...record, right: 'unseen' as const } : record));
  await seedRace(page, { ...summer, records, demo: false });
  await page.goto('/season');
  await expect(page.getByRole('heading', { name: '2 races together' })).toBeVisible();
  await expect(lead(page)).toContainText('95\u00a0% interval');
  await expect(page.getByText(/^The classes are as observers called them/)).toBeVisible();

  await page.getByLabel('Intervals at').selectOption('0.99');
  await expect(lead(page)).toContainText('99\u00a0% interval');
  const places = page.getByRole('group', { name: 'Checkpoints of Ford Spring Run' });
  await expect(places.getByLabel('late')).toHaveValue('Mill');
  await places.getByLabel('late').selectOption('Bridge');
  await page.getByText('The method, step by step').click();
  await expect(page.getByText(/restricted maximum likelihood/)).toBeVisible();
  await page.getByText('Races, their counts and how far they differ').click();
  const counts = page.getByRole('region', { name: /^Races and their counts/ });
  await expect(counts).toContainText('Ford Spring Run');
  // One of the eighty has one foot seen.
  const classifiedInSummer = counts
    .getByRole('row', { name: /^Mill Summer Half/ })
    .getByRole('cell')
    .first();
  await expect(classifiedInSummer).toHaveText('79');
  await page.getByLabel('A runner with one foot seen').selectOption('use');
  await expect(classifiedInSummer).toHaveText('80');
  // The late checkpoint that was chosen is the early one of a race that changes them about.
  await places.getByLabel('early').selectOption('Bridge');
  await expect(places.getByLabel('late')).toHaveValue('Ford');
  await page.getByRole('checkbox', { name: /Mill Summer Half/ }).uncheck();
  await expect(page.getByRole('heading', { name: 'One race' })).toBeVisible();

  // Kept for the next visit.
  await page.reload();
  await expect(page.getByRole('heading', { name: 'One race' })).toBeVisible();
  await expect(page.getByRole('checkbox', { name: /Mill Summer Half/ })).not.toBeChecked();
  await expect(page.getByLabel('Intervals at')).toHaveValue('0.99');
  await expect(page.getByLabel('A runner with one foot seen')).toHaveValue('use');
  await expect(places.getByLabel('early')).toHaveValue('Bridge');
  await expect(places.getByLabel('late')).toHaveValue('Ford');
});

test('practice kept on the device stands beside the pooled calls, race by race', async ({ page }) => {
  await seedRace(page, { ...practisedRace, demo: false });
  await keepPractisedSessions(page);
  await page.goto('/season');
  await expect(page.getByRole('heading', { name: 'One race' })).toBeVisible();
  // R's figures: tests/reference/cases-corrected/practice/expected.json.
  const { paired, observed, corrected } = (practisedRun.expected as PractisedFigures).corrected.practice.difference;
  const row = page
    .getByRole('region', { name: /^Change of the rearfoot share race by race/ })
    .getByRole('row', { name: /^Causeway Half/ });
  await expect(row.getByRole('cell')).toHaveText([
    count(paired),
    signedPoints(observed.difference),
    signedPoints(corrected.difference),
    pointRange(corrected.low, corrected.high)!,
    'practice',
  ]);
});

test('findings of others are dropped in; a damaged one is named and the others go on', async ({ page }) => {
  await page.goto('/season');
  await expect(page.getByText('Choose races on this device')).toBeVisible();
  const files = page.getByLabel('Findings of others');
  await files.setInputFiles([
    caseFile('six/alder-ten.json'),
    caseFile('six/birch-half.json'),
    caseFile('six/cedar-mile.json'),
    { name: 'torn.json', mimeType: 'application/json', buffer: Buffer.from('{"shares": [') },
    { name: 'other.json', mimeType: 'application/json', buffer: Buffer.from('{"shares": [], "shift": null}') },
  ]);
  await expect(page.getByRole('heading', { name: '3 races together' })).toBeVisible();
  const fault = page.getByRole('alert');
  await expect(fault).toContainText('2 races are left out; the others stand.');
  await expect(fault).toContainText('torn: is not JSON');
  await expect(fault).toContainText('other: shares: expected at least 1 entry');
  // R's figure for these three: tests/reference/cases-pooled/six/expected-first-three.json.
  const expected = JSON.parse(readFileSync(new URL('six/expected-first-three.json', CASES), 'utf8')) as {
    difference: { pooled: { estimate: number } };
  };
  const points = (100 * expected.difference.pooled.estimate).toFixed(1);
  await expect(lead(page)).toContainText(`rose by ${points} points`);

  await page.getByRole('button', { name: 'Remove torn.json' }).click();
  await page.getByRole('button', { name: 'Remove other.json' }).click();
  await expect(fault).toHaveCount(0);
  await expect(page.getByText('Nobody can be followed yet')).toHaveCount(0);
});

test('two hundred findings files make one answer, offline', async ({ page, context }) => {
  await page.goto('/season');
  await expect(page.getByText('Choose races on this device')).toBeVisible();
  const one = caseFile('six/alder-ten.json');
  const two = caseFile('six/birch-half.json');
  // The first one brings the worker in; from then on nothing is fetched.
  const files = page.getByLabel('Findings of others');
  await files.setInputFiles([one]);
  await expect(page.getByRole('heading', { name: 'One race' })).toBeVisible();
  await context.setOffline(true);
  await files.setInputFiles(
    Array.from({ length: 199 }, (_, i) => ({ ...(i % 2 === 0 ? two : one), name: `race ${i + 1}.json` })),
  );
  await expect(page.getByRole('heading', { name: '200 races together' })).toBeVisible({ timeout: 60_000 });
  await expect(page.locator('figure').first().locator('.row')).toHaveCount(203);
});
