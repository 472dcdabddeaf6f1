import { chromium, expect, test } from '@playwright/test';
import { viewOfRace } from '../../src/lib/sightings/race-view.ts';
import { axeFaults } from '../helpers/browser/axe-faults.ts';
import { chromiumPath } from '../helpers/browser/chromium.mjs';
import { clipKey } from '../helpers/clips/clip-records.ts';
import { clipFile, goToFrame, openClip, recordsHeld, setUpClip, tapPoints } from '../helpers/clips/clip-driver.ts';
import { openTally, TALLY_RACE } from '../helpers/tally/tally-race.ts';

// Clips and keys are drawn by make-clips.mjs beside them: frames, classes and angles are known by construction.

test('keys step, leap and take back; a mark that cannot be is not offered; what was marked is there again', async ({
  page,
}) => {
  const key = clipKey('pack');
  await openClip(page, 'pack.mp4');
  await setUpClip(page, key);
  const where = page.locator('.where');
  await page.keyboard.press('ArrowRight');
  await page.keyboard.press('Shift+ArrowRight');
  await expect(where).toContainText('Frame 11 of');
  await page.keyboard.press('ArrowLeft');
  await expect(where).toContainText('Frame 10 of');
  await expect(page.getByRole('button', { name: /^Toe-off/ })).toBeDisabled();
  await page.keyboard.press('c');
  await expect(where).toContainText('Contact of the');
  await page.keyboard.press('l');
  await expect(where).toContainText(`Frame ${10 + Math.round((240 * 60) / 165)} of`);
  await page.keyboard.press('u');
  await expect(where).toContainText('taken back');
  await goToFrame(page, 20);
  await page.keyboard.press('c');
  await expect(where).toContainText('marked in frame 20');
  await page.reload();
  await page.getByLabel('Video files of this device').setInputFiles(clipFile('pack.mp4'));
  await expect(page.getByRole('img', { name: '1 runner begun on this clip' })).toBeVisible();
});

test('a file that cannot be shown is refused in words, and a rate is asked for before the first mark', async ({
  page,
}) => {
  await openClip(page, 'stretched.webm');
  await page.getByRole('radio', { name: 'right' }).check();
  await page.getByRole('button', { name: 'Begin the review' }).click();
  await expect(page.getByRole('alert')).toContainText('Say how many frames a second');
  await page.getByLabel('Video files of this device').setInputFiles(clipFile('made/hevc.mp4'));
  await expect(page.getByRole('alert')).toContainText('HEVC (H.265)');
});

test('a wrong rate is mended once for all marks; a line along something level, a clock, a doubt and points that are moved are kept', async ({
  page,
}) => {
  const key = clipKey('stretched');
  const [runner] = key.runners;
  const [step] = runner!.steps;
  await openClip(page, 'stretched.mp4');
  // What the file's tag says is proposed, and not taken.
  await expect(page.getByText('The file says 240')).toBeVisible();
  await expect(page.getByRole('radio', { checked: true })).toHaveCount(0);
  await setUpClip(page, { ...key, recordedFps: 120 });
  const where = page.locator('.where');
  await page.getByRole('button', { name: step!.foot === 'left' ? 'Left foot' : 'Right foot', exact: true }).click();
  await goToFrame(page, step!.toeOff);
  await expect(page.getByRole('button', { name: /^Toe-off/ })).toBeDisabled();
  await goToFrame(page, step!.contact);
  await page.keyboard.press('c');
  await expect(where).toContainText('Contact of the');
  await tapPoints(page, key, [step!.points.heel, step!.points.toe]);
  await page.getByRole('button', { name: 'Keep points' }).click();
  await expect(where).toContainText('Points kept');
  // The point that touches first, by arrow keys; the heel moved by half a pixel, then dragged.
  await page.keyboard.press('o');
  await page.keyboard.press('ArrowUp');
  await page.keyboard.press('Enter');
  await expect(page.getByRole('group', { name: 'Move a point' }).getByRole('button', { name: 'touch' })).toBeVisible();
  const pointsHeld = async () => {
    const { race, records } = await recordsHeld(page);
    return viewOfRace(race, records).projection.marks.find(({ withdrawn }) => !withdrawn)!.points;
  };
  const before = await pointsHeld();
  expect(before.touch).toEqual([key.width / 2, key.height / 2 - 0.5]);
  await page.getByRole('button', { name: 'heel', exact: true }).click();
  await page.keyboard.press('ArrowRight');
  await page.keyboard.press('Enter');
  await expect.poll(async () => (await pointsHeld()).heel![0]).toBeCloseTo(before.heel![0] + 0.5, 5);
  const at = async ([x, y]: readonly [number, number]) => {
    const box = (await page.locator('.picture > canvas').boundingBox())!;
    return [box.x + (x / key.width) * box.width, box.y + (y / key.height) * box.height] as const;
  };
  const [toeX, toeY] = await at(before.toe!);
  await page.mouse.move(toeX, toeY);
  await page.mouse.down();
  await page.mouse.move(toeX + 30, toeY, { steps: 3 });
  await page.mouse.up();
  await expect.poll(async () => (await pointsHeld()).toe![0]).toBeGreaterThan(before.toe![0] + 10);
  await page.keyboard.press('d');
  await expect(where).toContainText('marked, doubtful');
  await page.keyboard.press('d');
  await expect(where).not.toContainText('marked, doubtful');
  // Pressed twice before the first is kept, it is done twice: one mark stands, as sure as before.
  await page.evaluate(() => {
    for (let i = 0; i < 2; i += 1)
      document.body.dispatchEvent(new KeyboardEvent('keydown', { key: 'd', bubbles: true }));
  });
  const marksHeld = async () => {
    const { race, records } = await recordsHeld(page);
    const { marks } = viewOfRace(race, records).projection;
    return {
      all: marks.length,
      standing: marks.filter(({ withdrawn }) => !withdrawn).map(({ record }) => record.doubtful),
    };
  };
  await expect.poll(marksHeld).toEqual({ all: 5, standing: [undefined] });
  await goToFrame(page, step!.toeOff);
  await page.keyboard.press('t');
  await expect(page.getByRole('list', { name: 'Measured so far' })).toContainText(
    `contact ${((step!.toeOff - step!.contact) / 120).toFixed(3)} s`,
  );

  await page.getByRole('button', { name: 'Change rate, direction or clock' }).click();
  const form = page.getByRole('form', { name: 'About this clip' });
  await form.getByRole('radio', { name: '240', exact: true }).check();
  await form.getByLabel('The clock in frame').fill('9:45:10');
  await form.getByLabel('The picture is mirrored').check();
  await form.getByRole('button', { name: 'Draw a line along something level' }).click();
  for (const end of [
    [100, 400],
    [860, 380],
  ] as const) {
    await page.mouse.click(...(await at(end)));
  }
  await expect(form).toContainText('rises 1.5° to the right');
  await form.getByRole('button', { name: 'Keep for all marks' }).click();
  await expect(where).toContainText('all its times follow');
  await expect(page.getByRole('list', { name: 'Measured so far' })).toContainText(
    `contact ${((step!.toeOff - step!.contact) / 240).toFixed(3)} s`,
  );
  const { race, records } = await recordsHeld(page);
  const { clips } = viewOfRace(race, records).projection;
  expect(clips.map(({ record, withdrawn }) => [record.fpsRecorded, withdrawn])).toEqual([
    [120, true],
    [240, false],
  ]);
  expect(clips[1]!.record).toMatchObject({ slateFrame: 0, mirrored: true });
  const [, left, , right] = clips[1]!.record.level!;
  // A click lands on a whole pixel of the screen.
  expect(Math.abs(left - right - 20)).toBeLessThan(2);
  // What is wrong in the form is said; what is not changed is no record.
  await page.getByRole('button', { name: 'Change rate, direction or clock' }).click();
  await form.getByLabel('The clock in frame').fill('25:00');
  await form.getByRole('button', { name: 'Keep for all marks' }).click();
  await expect(page.getByRole('alert')).toContainText('such as 09:45:10');
  expect(await axeFaults(page)).toEqual([]);
  await form.getByRole('button', { name: 'Leave as it was' }).click();
  expect((await recordsHeld(page)).records).toHaveLength(records.length);
});

test('proposes who is due by the slate’s clock, and shows no live class', async ({ page }) => {
  await page.clock.setFixedTime('2026-10-04T09:45:12Z');
  await openTally(page, { bibs: ['107', '611'] });
  await page.keyboard.type('611s');
  await expect(page.getByText('1 tallied')).toBeVisible();
  const clock = await page.evaluate(() => new Date(Date.now() - 1000).toTimeString().slice(0, 8));
  await page.goto(`/races/${TALLY_RACE}/clips`);
  await page.getByLabel('Video files of this device').setInputFiles(clipFile('pack.mp4'));
  const form = page.getByRole('form', { name: 'About this clip' });
  await form.getByText('Clock, mirror, level, lens').click();
  await form.getByLabel('The clock in frame').fill(clock);
  await setUpClip(page, clipKey('pack'));
  await page.getByRole('group', { name: 'Due about now by the clock' }).getByRole('button', { name: '611' }).click();
  await expect(page.getByLabel('Bib', { exact: true })).toHaveValue('611');
  await expect(page.locator('[data-cell][aria-pressed=true]')).toHaveCount(0);
  await page.locator('[data-cell="both-rearfoot"]').click();
  await page.getByRole('button', { name: 'Close runner' }).click();
  await expect(page.locator('.where')).toContainText('611 closed');
  await expect(page.getByRole('group', { name: 'Due about now by the clock' })).toBeHidden();
});

test('on plain http from another address frames come by the picture element, and are marked all the same', async ({
  baseURL,
}) => {
  const browser = await chromium.launch({
    executablePath: chromiumPath()!,
    args: ['--no-sandbox', '--disable-gpu', '--host-resolver-rules=MAP hub.test 127.0.0.1'],
  });
  try {
    const page = await browser.newPage();
    const origin = `http://hub.test:${new URL(baseURL!).port}`;
    await openTally(page, {}, origin);
    expect(await page.evaluate(() => isSecureContext || 'VideoDecoder' in globalThis)).toBe(false);
    await page.goto(`${origin}/races/${TALLY_RACE}/clips`);
    await page.getByLabel('Video files of this device').setInputFiles(clipFile('pack.mp4'));
    const key = clipKey('pack');
    await setUpClip(page, key);
    await expect(page.getByText('stepping back is slower')).toBeVisible();
    const { contact } = key.runners[0]!.steps[0]!;
    await goToFrame(page, contact);
    await page.keyboard.press('c');
    await expect(page.locator('.where')).toContainText(`marked in frame ${contact}`);
    const { records } = await recordsHeld(page);
    // The fingerprint does not need the browser's own digest.
    expect(records.find(({ kind }) => kind === 'clip')).toMatchObject({ frames: key.frames });
  } finally {
    await browser.close();
  }
});

/** There is no decoder, and the picture element shows another picture than it was sent to while `showsAnother` is set. */
function showAnotherPicture(): void {
  Reflect.deleteProperty(globalThis, 'VideoDecoder');
  const { requestVideoFrameCallback } = HTMLVideoElement.prototype;
  HTMLVideoElement.prototype.requestVideoFrameCallback = function (tell) {
    const off = 'showsAnother' in globalThis ? 0.1 : 0;
    return requestVideoFrameCallback.call(this, (now, facts) =>
      tell(now, { ...facts, mediaTime: facts.mediaTime + off }),
    );
  };
}

test('a frame that the picture element cannot show exactly is said to be so and takes no mark', async ({ page }) => {
  await page.addInitScript(showAnotherPicture);
  await openClip(page, 'made/variable.mp4');
  const form = page.getByRole('form', { name: 'About this clip' });
  await form.getByRole('radio', { name: 'right' }).check();
  await form.getByRole('button', { name: 'Begin the review' }).click();
  const contact = page.getByRole('button', { name: /^Contact/ });
  await expect(contact).toBeEnabled();
  await page.evaluate(() => Object.assign(globalThis, { showsAnother: true }));
  await goToFrame(page, 40);
  await expect(page.getByText('cannot be shown exactly, so it takes no mark')).toBeVisible();
  await expect(contact).toBeDisabled();
  await page.keyboard.press('c');
  await page.evaluate(() => Reflect.deleteProperty(globalThis, 'showsAnother'));
  await goToFrame(page, 41);
  await expect(page.getByText('cannot be shown exactly')).toBeHidden();
  await page.keyboard.press('c');
  await expect(page.locator('.where')).toContainText('marked in frame 41');
  const { race, records } = await recordsHeld(page);
  expect(viewOfRace(race, records).projection.marks.map(({ frame }) => frame)).toEqual([41]);
});

for (const [width, height] of [
  [390, 844],
  [820, 1180],
] as const) {
  for (const colorScheme of ['light', 'dark'] as const) {
    test(`stands at ${width} × ${height}, ${colorScheme}`, async ({ page }) => {
      await page.emulateMedia({ colorScheme });
      await page.setViewportSize({ width, height });
      await openClip(page, 'pack.mp4');
      await setUpClip(page, clipKey('pack'));
      await goToFrame(page, clipKey('pack').runners[0]!.steps[0]!.contact);
      await page.keyboard.press('c');
      await expect(page.locator('.where')).toContainText('Contact of the');
      expect(await axeFaults(page)).toEqual([]);
      expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(width);
      const folder = process.env['KERBSIDE_SHOTS'];
      if (folder) await page.screenshot({ path: `${folder}/clips-${width}-${colorScheme}.png`, fullPage: true });
    });
  }
}
