import { expect, test, type Page } from '@playwright/test';
import { viewOfRace } from '../../src/lib/sightings/race-view.ts';
import { axeFaults } from '../helpers/browser/axe-faults.ts';
import { clipKey } from '../helpers/clips/clip-records.ts';
import { openClip, recordsHeld } from '../helpers/clips/clip-driver.ts';

// Clips and keys are drawn by make-clips.mjs beside them: frames, classes and angles are known by construction.
const KEY = clipKey('pack');
const [RUNNER] = KEY.runners;
const [STEP] = RUNNER!.steps;

/** What stands of the only runner that was closed. */
async function closedRunner(page: Page) {
  const { race, records } = await recordsHeld(page);
  const { sightings, marks } = viewOfRace(race, records).projection;
  return {
    sightings: sightings
      .filter(({ withdrawn }) => !withdrawn)
      .map(({ bib, gait, left, right }) => ({ bib, gait, left, right })),
    marks: marks
      .filter(({ withdrawn }) => !withdrawn)
      .map(({ foot, event, frame, points }) => ({ foot, event, frame, points: Object.keys(points).sort() })),
  };
}

const WANTED = (foot: string) => ({
  sightings: [{ bib: '107', gait: 'run', left: 'midfoot', right: 'forefoot' }],
  marks: [
    { foot, event: 'contact', frame: STEP!.contact, points: ['heel', 'toe'] },
    { foot, event: 'toeoff', frame: STEP!.toeOff, points: [] },
  ],
});

test('by keys alone a clip is set up, a runner is marked with points, classed as on Tally and closed; what is done is told', async ({
  page,
}) => {
  await page.emulateMedia({ reducedMotion: 'reduce' });
  await openClip(page, 'pack.mp4');
  const keys = page.keyboard;
  await page.getByRole('radio', { name: KEY.direction }).focus();
  await keys.press('Space');
  await page.getByRole('button', { name: 'Begin the review' }).focus();
  await keys.press('Enter');
  const told = page.getByRole('status').filter({ hasText: 'Frame ' });
  await expect(told).toContainText('Clip set up');
  // The near foot, on which this runner's first step is.
  const foot = STEP!.foot;
  const goBy = async (frames: number) => {
    for (let i = 0; i < Math.floor(frames / 10); i += 1) await keys.press('Shift+ArrowRight');
    for (let i = 0; i < frames % 10; i += 1) await keys.press('ArrowRight');
  };
  await goBy(STEP!.contact);
  await expect(told).toContainText(`Frame ${STEP!.contact} of ${KEY.frames}`);
  await expect(told).toContainText(`${(STEP!.contact / KEY.recordedFps).toFixed(3)} s`);
  await keys.press('c');
  await expect(told).toContainText(`${foot} contact marked`);
  await keys.press('p');
  for (const [point, next] of [
    ['heel', 'toe'],
    ['toe', 'knee'],
  ] as const) {
    await expect(page.getByText(`Tap the ${point} in the picture`)).toBeVisible();
    await keys.press('Shift+ArrowDown');
    await keys.press('Enter');
    await expect(page.getByText(`Tap the ${next} in the picture`)).toBeVisible();
  }
  await page.getByRole('button', { name: 'Keep points' }).focus();
  await keys.press('Enter');
  await expect(told).toContainText('Points kept');
  await goBy(STEP!.toeOff - STEP!.contact);
  await expect(told).toContainText(`Frame ${STEP!.toeOff} of`);
  await keys.press('t');
  await expect(told).toContainText(`${foot} toe-off marked`);
  await keys.type('107');
  await expect(page.getByLabel('Bib', { exact: true })).toHaveValue('107');
  // The places of the foot grid on Tally: left midfoot, right forefoot.
  await keys.press('Shift+KeyA');
  await keys.press('Shift+KeyE');
  await expect(page.locator('[data-cell="left-midfoot"]')).toHaveAttribute('aria-pressed', 'true');
  await expect(page.locator('[data-cell="right-forefoot"]')).toHaveAttribute('aria-pressed', 'true');
  await page.getByRole('application').focus();
  await keys.press('Enter');
  await expect(told).toContainText('107 closed');
  expect(await closedRunner(page)).toEqual(WANTED(foot));
  expect(await axeFaults(page)).toEqual([]);
});

test.describe('with fingers alone', () => {
  test.use({ hasTouch: true, isMobile: true, viewport: { width: 390, height: 844 } });

  test('a clip is set up, a runner is marked with points, classed and closed', async ({ page }) => {
    await openClip(page, 'pack.mp4');
    const button = (name: string | RegExp) => page.getByRole('button', { name, exact: true });
    await page.getByRole('radio', { name: KEY.direction }).tap();
    await button('Begin the review').tap();
    const told = page.locator('.where');
    await expect(told).toContainText('Clip set up');
    const foot = STEP!.foot;
    const goBy = async (frames: number) => {
      for (let i = 0; i < Math.floor(frames / 10); i += 1) await button('10 frames on').tap();
      for (let i = 0; i < frames % 10; i += 1) await button('1 frame on').tap();
    };
    await goBy(STEP!.contact);
    await expect(told).toContainText(`Frame ${STEP!.contact} of`);
    await button(/^Contact/).tap();
    await expect(told).toContainText(`${foot} contact marked`);
    await button(/^Points/).tap();
    const picture = page.locator('.picture > canvas');
    for (const next of ['toe', 'knee']) {
      await picture.tap();
      await expect(page.getByText(`Tap the ${next} in the picture`)).toBeVisible();
    }
    await button('Keep points').tap();
    await expect(told).toContainText('Points kept');
    await goBy(STEP!.toeOff - STEP!.contact);
    await expect(told).toContainText(`Frame ${STEP!.toeOff} of`);
    await button(/^Toe-off/).tap();
    await expect(told).toContainText(`${foot} toe-off marked`);
    const pad = page.getByRole('group', { name: 'Bib pad' });
    for (const digit of ['1', '0', '8']) await pad.getByRole('button', { name: digit, exact: true }).tap();
    await pad.getByRole('button', { name: 'Erase' }).tap();
    await pad.getByRole('button', { name: '7', exact: true }).tap();
    await page.locator('[data-cell="both-forefoot"]').tap();
    await page.locator('[data-cell="left-midfoot"]').tap();
    await pad.getByRole('button', { name: 'Close runner' }).tap();
    await expect(told).toContainText('107 closed');
    expect(await closedRunner(page)).toEqual(WANTED(foot));
    expect(await axeFaults(page)).toEqual([]);
  });
});
