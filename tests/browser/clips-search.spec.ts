import { expect, test } from '@playwright/test';
import { viewOfRace } from '../../src/lib/sightings/race-view.ts';
import { clipKey } from '../helpers/clips/clip-records.ts';
import { clipFile, goToFrame, openClip, recordsHeld, setUpClip } from '../helpers/clips/clip-driver.ts';
import { countOpenPictures, openPictures } from '../helpers/clips/open-pictures.ts';

// Clips and keys are drawn by make-clips.mjs beside them: frames, classes and angles are known by construction.

test('finds where runners pass, goes there by a key, and goes on with a runner that was closed', async ({ page }) => {
  const key = clipKey('single');
  await openClip(page, 'single.mp4');
  await setUpClip(page, key);
  const list = page.getByRole('region', { name: 'Runners on this clip' });
  await list.getByRole('button', { name: 'Find where runners pass' }).click();
  await expect(list).toContainText('Somebody passes in 5 places');
  const where = page.locator('.where');
  // Each key's runner is in the middle of the picture between its contacts: at most a stride after the search's place.
  await page.keyboard.press(']');
  await expect(where).not.toContainText('Frame 0 of');
  const frame = Number(/Frame (\d+)/.exec((await where.textContent())!)![1]);
  const [first] = key.runners;
  expect(frame).toBeGreaterThan(first!.steps[0]!.contact);
  expect(frame).toBeLessThan(first!.steps.at(-1)!.contact);
  await goToFrame(page, first!.steps[2]!.contact);
  await page.keyboard.press('c');
  await expect(where).toContainText('Contact of the');
  await page.keyboard.type('107');
  await page.locator('[data-cell="both-rearfoot"]').click();
  await page.getByRole('button', { name: 'Close runner' }).click();
  await expect(where).toContainText('107 closed');
  await list.getByRole('button', { name: /^107/ }).click();
  await page.locator('[data-cell="left-midfoot"]').click();
  await page.getByRole('button', { name: 'Correct runner' }).click();
  await expect(where).toContainText('107 corrected');
  const { race, records } = await recordsHeld(page);
  const sightings = viewOfRace(race, records).projection.sightings.filter(({ withdrawn }) => !withdrawn);
  expect(sightings).toMatchObject([{ bib: '107', left: 'midfoot', right: 'rearfoot' }]);

  // Another file for a clip with marks is told apart by its bytes; the marks stay, the right one goes on.
  await page.reload();
  await page.getByRole('button', { name: 'Go on with it' }).click();
  await page.getByLabel('Video files of this device').setInputFiles(clipFile('single.webm'));
  await expect(page.getByRole('alert')).toContainText('This is not the clip of these marks');
  await page.getByLabel('Video files of this device').setInputFiles(clipFile('single.mp4'));
  await expect(page.getByRole('img', { name: '1 runner begun on this clip' })).toBeVisible();
});

/** Holds back what a worker says at its end until `letWorkersEnd` is set. */
function holdWorkersBack(): void {
  const OwnWorker = Worker;
  globalThis.Worker = class extends OwnWorker {
    override set onmessage(listen: (this: Worker, event: MessageEvent<{ kind: string }>) => void) {
      super.onmessage = (event: MessageEvent<{ kind: string }>) => {
        if (event.data.kind !== 'done' || 'letWorkersEnd' in globalThis) listen.call(this, event);
      };
    }
  };
}

test('a search for runners says how far it is, is stopped, leaves no worker behind, and can be begun anew', async ({
  page,
}) => {
  await page.addInitScript(holdWorkersBack);
  await openClip(page, 'pack.mp4');
  await setUpClip(page, clipKey('pack'));
  const list = page.getByRole('region', { name: 'Runners on this clip' });
  const find = list.getByRole('button', { name: 'Find where runners pass' });
  await find.click();
  await expect(list.getByRole('progressbar')).toBeVisible();
  await expect.poll(() => page.workers().length).toBe(1);
  // Marking goes on meanwhile.
  await goToFrame(page, clipKey('pack').runners[0]!.steps[0]!.contact);
  await page.keyboard.press('c');
  await expect(page.locator('.where')).toContainText('Contact of the');
  await list.getByRole('button', { name: 'Stop' }).click();
  await expect(find).toBeVisible();
  await expect(list.getByRole('progressbar')).toBeHidden();
  await expect.poll(() => page.workers().length).toBe(0);
  await page.evaluate(() => Object.assign(globalThis, { letWorkersEnd: true }));
  await find.click();
  await expect(list).toContainText('Somebody passes in 1 place');
  await expect.poll(() => page.workers().length).toBe(0);
});

/** The first decoder of the page hands out a few frames and then fails, as one does that gets no more memory. */
function refuseMemoryOnce(): void {
  const OwnDecoder = VideoDecoder;
  let decoders = 0;
  globalThis.VideoDecoder = class extends OwnDecoder {
    constructor(init: VideoDecoderInit) {
      const isFirst = (decoders += 1) === 1;
      let frames = 0;
      super({
        ...init,
        output: (frame) => {
          frames += 1;
          if (!isFirst || frames < 4) return init.output(frame);
          frame.close();
          if (frames === 4) init.error(new DOMException('no more memory', 'OperationError'));
        },
      });
    }
  };
}

test('where memory is refused fewer frames are held, which is said once, and the frame asked for is shown', async ({
  page,
}) => {
  await page.addInitScript(refuseMemoryOnce);
  await openClip(page, 'pack.mp4');
  await setUpClip(page, clipKey('pack'));
  await goToFrame(page, 100);
  await expect(page.getByText('Memory is short: fewer frames are held.')).toHaveCount(1);
  await page.keyboard.press('c');
  await expect(page.locator('.where')).toContainText('marked in frame 100');
});

test('leaving the page frees every decoded picture and the worker', async ({ page }) => {
  await page.addInitScript(holdWorkersBack);
  await countOpenPictures(page);
  await openClip(page, 'single.mp4');
  await setUpClip(page, clipKey('single'));
  await goToFrame(page, 700);
  await page.keyboard.press('ArrowRight');
  await expect(page.locator('.where')).toContainText('Frame 701 of');
  await expect.poll(() => openPictures(page)).toBeGreaterThan(8);
  await page.getByRole('button', { name: 'Find where runners pass' }).click();
  await expect.poll(() => page.workers().length).toBe(1);
  const [search] = page.workers();
  await page.getByRole('link', { name: 'Findings' }).click();
  await expect(page.getByRole('region', { name: 'Runners on this clip' })).toBeHidden();
  await expect.poll(() => openPictures(page)).toBe(0);
  // Findings has a worker of its own.
  await expect.poll(() => page.workers().includes(search!)).toBe(false);
});

for (const [name, places] of [
  ['pack.webm', 1],
  ['stretched.mp4', 2],
] as const) {
  test(`${name}: somebody passes in ${places === 1 ? 'one place' : 'two places'}`, async ({ page }) => {
    await openClip(page, name);
    await setUpClip(page, clipKey(name.split('.')[0]!));
    const list = page.getByRole('region', { name: 'Runners on this clip' });
    await list.getByRole('button', { name: 'Find where runners pass' }).click();
    await expect(list).toContainText(`Somebody passes in ${places} place`);
  });
}
