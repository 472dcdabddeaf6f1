import { expect, test } from '@playwright/test';
import { viewOfRace } from '../../src/lib/sightings/race-view.ts';
import { stepsCsv } from '../../src/lib/tables/clips/clip-tables.ts';
import { axeFaults } from '../helpers/browser/axe-faults.ts';
import { clipKey, type ClipKey } from '../helpers/clips/clip-records.ts';
import { clipFile, csvRows, markRunner, openClip, recordsHeld, setUpClip } from '../helpers/clips/clip-driver.ts';
import { TALLY_RACE } from '../helpers/tally/tally-race.ts';

// Clips and keys are drawn by make-clips.mjs beside them: frames, classes and angles are known by construction.

/** The figures of a runner's steps by the contract's rules, from the frames of the key alone. */
function figuresOfKey({ recordedFps }: ClipKey, steps: ClipKey['runners'][number]['steps']) {
  // Recorded times are whole microseconds, frame ÷ rate.
  const at = (frame: number) => Math.round((frame * 1e6) / recordedFps);
  return steps.map((step, i) => {
    const ownNext = steps.slice(i + 1).find(({ foot }) => foot === step.foot);
    const other = steps.slice(i + 1).find(({ foot }) => foot !== step.foot);
    const next = other && (!ownNext || other.contact < ownNext.contact) ? other : undefined;
    return {
      contact_s: (at(step.toeOff) - at(step.contact)) / 1e6,
      step_s: next && (at(next.contact) - at(step.contact)) / 1e6,
      flight_s: next && (at(next.contact) - at(step.toeOff)) / 1e6,
    };
  });
}

/** The contract's cut-offs: above 7.4° rearfoot, below −0.8° forefoot. */
const angleClass = (degrees: number) => (degrees > 7.4 ? 'rearfoot' : degrees < -0.8 ? 'forefoot' : 'midfoot');

/** What one pixel of the picture makes of the shank's angle, degrees. */
const shankDegreesOfAPixel = (knee: readonly number[], ankle: readonly number[]) =>
  (Math.SQRT2 / Math.hypot(knee[0]! - ankle[0]!, knee[1]! - ankle[1]!)) * (180 / Math.PI);

// Each clip in one of its codecs; KERBSIDE_OTHER_CODEC=1 takes the other one of each.
const MARKED = process.env['KERBSIDE_OTHER_CODEC']
  ? (['single.webm', 'pack.mp4', 'stretched.webm'] as const)
  : (['single.mp4', 'pack.webm', 'stretched.mp4'] as const);

for (const clip of MARKED) {
  test(`${clip} marked by the screen alone gives the steps of its key`, async ({ page }) => {
    test.setTimeout(300_000);
    const key = clipKey(clip.split('.')[0]!);
    // So large that a pixel of the screen is at most one of the picture: a click lands on a whole pixel of the screen.
    await page.setViewportSize({ width: 1680, height: 1200 });
    await openClip(page, clip);
    await setUpClip(page, key);
    for (const runner of key.runners) await markRunner(page, key, runner, true);
    const { race, records } = await recordsHeld(page);
    const rows = csvRows(stepsCsv(viewOfRace(race, records)));
    expect(rows).toHaveLength(key.runners.flatMap(({ steps }) => steps).length);
    for (const { bib, steps } of key.runners) {
      const wanted = figuresOfKey(key, steps);
      steps.forEach((step, i) => {
        const row = rows.find((one) => one['bib'] === bib && one['contact_frame'] === String(step.contact))!;
        const { toeOff, flat, foot, side } = step;
        expect(row).toMatchObject({ toeoff_frame: String(toeOff), flat_frame: String(flat), foot, side });
        for (const [name, seconds] of Object.entries(wanted[i]!)) {
          if (seconds === undefined) expect(row[name]).toBe('');
          else expect(Math.abs(Number(row[name]) - seconds)).toBeLessThan(1e-9);
        }
        const { knee, ankle } = step.points;
        const strikeOff = Math.abs(Number(row['strike_angle']) - step.strikeAngle!);
        expect(strikeOff).toBeLessThanOrEqual(Number(row['strike_angle_sd']));
        expect([angleClass(step.strikeAngle!), 'uncertain']).toContain(row['angle_class']);
        const shankOff = Math.abs(Number(row['shank_angle']) - step.shankAngle!);
        expect(shankOff).toBeLessThanOrEqual(shankDegreesOfAPixel(knee, ankle));
      });
    }
    expect(await axeFaults(page)).toEqual([]);
    await page.goto(`/races/${TALLY_RACE}/findings`);
    await expect(page.getByRole('heading', { name: 'Gait on clips' })).toBeVisible();
    await expect(page.locator('#gait')).toContainText('were in contact for');
    expect(await axeFaults(page)).toEqual([]);
  });
}

test('Check leads from a doubt to the clip and the frame in question', async ({ page }) => {
  const key = clipKey('stretched');
  const [runner] = key.runners;
  await openClip(page, 'stretched.mp4');
  await setUpClip(page, { ...key, recordedFps: 60 });
  await markRunner(page, key, runner!, false);
  await page.goto(`/races/${TALLY_RACE}/check`);
  await page.getByText(/recorded at 60 frames/).click();
  await page.getByRole('link', { name: 'Look at it on Clips' }).click();
  await expect(page.getByText('Choose the file of the clip at')).toContainText('1,140 frames');
  await page.getByLabel('Video files of this device').setInputFiles(clipFile('stretched.mp4'));
  await expect(page.locator('.where')).toContainText(`Frame ${runner!.steps[0]!.contact} of`);
  await page.getByRole('button', { name: 'Change rate, direction or clock' }).click();
  await page.getByRole('radio', { name: '240', exact: true }).check();
  await page.getByRole('button', { name: 'Keep for all marks' }).click();
  await expect(page.locator('.where')).toContainText('all its times follow');
  await page.goto(`/races/${TALLY_RACE}/check`);
  await expect(page.getByText(/recorded at/)).toBeHidden();
});
