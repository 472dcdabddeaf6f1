import { expect, test, type Page } from '@playwright/test';
import { keptRows, openTally, tapFeet, tapKeys, untilKept } from '../helpers/tally/tally-race.ts';

test.use({
  hasTouch: true,
  isMobile: true,
  viewport: { width: 390, height: 844 },
  timezoneId: 'Europe/London',
});

const passed = (page: Page, note: string) =>
  page.getByRole('button', { name: `Passed, ${note}, not classed`, exact: true });
const field = (page: Page) => page.getByRole('group', { name: 'Whose feet come next' });
const paper = (page: Page) =>
  page.locator('button', { hasText: 'Passed' }).evaluate((key) => getComputedStyle(key).backgroundColor);
const rule = { kind: 'windows', everyMinutes: 20, onMinutes: 5 };

test('time windows: the advice changes at the edge itself, without a tap, and passing runners are counted', async ({
  page,
}) => {
  await page.clock.install({ time: '2026-10-04T09:03:00Z' });
  await openTally(page, { samplingRule: rule });
  await page.clock.pauseAt('2026-10-04T09:04:58Z');
  await expect(passed(page, 'class to 10:05')).toBeVisible();
  await expect(field(page)).toContainText('bib or feet, in any order');
  await page.clock.runFor(1900);
  await expect(passed(page, 'class to 10:05')).toBeVisible();
  await page.clock.runFor(200);
  await expect(passed(page, 'pause to 10:20')).toBeVisible();
  await expect(field(page)).toContainText('pause: count only');

  await page.clock.resume();
  await passed(page, 'pause to 10:20').tap();
  await untilKept(page, 1);
  await expect(page.getByText('1 tallied')).toBeVisible();
  // What is kept does not hide what the rule asks for.
  await expect(field(page)).toContainText(/✓ passed; pause: count only/);

  await page.clock.pauseAt('2026-10-04T09:19:59Z');
  await expect(passed(page, 'pause to 10:20')).toBeVisible();
  await page.clock.runFor(1100);
  await expect(passed(page, 'class to 10:25')).toBeVisible();
  await expect(field(page)).not.toContainText('pause');
  await page.clock.resume();
  await tapKeys(page, ...'512');
  await tapFeet(page, 'both-midfoot');
  await untilKept(page, 2);
  const rows = await keptRows(page);
  expect(rows.map(({ record }) => [record.bib, record.left])).toEqual([
    [null, 'unseen'],
    ['512', 'midfoot'],
  ]);
  // The pause's runner was seen in the pause, and so the table can tell.
  expect(rows[0]!.record.observedAt! >= '2026-10-04T09:05:00').toBe(true);
  expect(rows[0]!.record.observedAt! < '2026-10-04T09:20:00').toBe(true);
});

test('every k-th: passing and classed runners count along, a withdrawn one does not, and the count can be set right', async ({
  page,
}) => {
  await openTally(page, { samplingRule: { kind: 'every', k: 3 } });
  await expect(passed(page, '1 of 3')).toBeVisible();
  await expect(field(page)).toContainText('let 2 pass');
  const letPass = await paper(page);
  await passed(page, '1 of 3').tap();
  await untilKept(page, 1);
  await expect(field(page)).toContainText('let 1 pass');
  await passed(page, '2 of 3').tap();
  await untilKept(page, 2);
  await expect(passed(page, '3 of 3')).toBeVisible();
  await expect(field(page)).not.toContainText('let');
  // The key stands out only while it is what the rule asks for.
  expect(await paper(page)).not.toBe(letPass);
  await tapKeys(page, ...'512');
  await tapFeet(page, 'both-rearfoot');
  await untilKept(page, 3);
  await expect(passed(page, '1 of 3')).toBeVisible();
  await tapKeys(page, 'Undo');
  await untilKept(page, 4);
  await expect(passed(page, '3 of 3')).toBeVisible();
  // A runner slipped by uncounted.
  await page.getByRole('button', { name: 'Station and options' }).tap();
  await page.getByRole('button', { name: 'One more' }).tap();
  await page.getByRole('button', { name: 'Back to Tally' }).tap();
  await expect(passed(page, '1 of 3')).toBeVisible();
  expect((await keptRows(page)).map(({ record }) => record.kind)).toEqual([
    'sighting',
    'sighting',
    'sighting',
    'withdrawal',
  ]);
});

test('at the video desk every record says that it was read from a clip', async ({ page }) => {
  await openTally(page);
  await page.getByRole('button', { name: 'Station and options' }).tap();
  await page.getByText('Change station').tap();
  await page.getByRole('radio', { name: 'slow-motion clips' }).check();
  await page.getByRole('button', { name: 'Use this station' }).tap();
  await page.getByRole('button', { name: 'Back to Tally' }).tap();
  await expect(page.getByRole('heading', { level: 1 })).toContainText('N4 clip');
  await tapKeys(page, ...'512');
  await tapFeet(page, 'both-rearfoot');
  await untilKept(page, 1);
  await tapKeys(page, ...'513', 'Walking');
  await untilKept(page, 2);
  // The choice outlives the page.
  await page.reload();
  await page.getByRole('group', { name: 'Foot grid' }).waitFor();
  await tapKeys(page, 'No bib');
  await tapFeet(page, 'both-forefoot');
  await untilKept(page, 1);
  expect((await keptRows(page)).map(({ record }) => record.method)).toEqual(['clip', 'clip', 'clip']);
});

test('bib endings: a due bib is told from one that is not before the feet come, and an unfinished one is neither', async ({
  page,
}) => {
  await openTally(page, { samplingRule: { kind: 'endings', endings: ['3', '07'] }, bibs: ['113', '114', '1207'] });
  await expect(field(page)).not.toContainText(/class this one|let pass/);
  await tapKeys(page, ...'11');
  await expect(field(page)).not.toContainText(/class this one|let pass/);
  await tapKeys(page, '3');
  await expect(field(page)).toContainText('class this one');
  const frame = () => field(page).evaluate((element) => getComputedStyle(element).borderTopStyle);
  expect(await frame()).toBe('solid');
  await tapFeet(page, 'both-rearfoot');
  await untilKept(page, 1);
  await tapKeys(page, ...'114');
  await expect(field(page)).toContainText('let pass');
  expect(await frame()).toBe('dashed');
  await passed(page, 'not due').tap();
  await untilKept(page, 2);
  await expect(field(page)).not.toContainText('let pass');
  // Nothing is blocked: who is not due can be classed all the same.
  await tapKeys(page, ...'114');
  await tapFeet(page, 'both-midfoot');
  await untilKept(page, 3);
  expect((await keptRows(page)).map(({ record }) => [record.bib, record.left])).toEqual([
    ['113', 'rearfoot'],
    ['114', 'unseen'],
    ['114', 'midfoot'],
  ]);
});
