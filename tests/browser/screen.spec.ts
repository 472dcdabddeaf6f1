import { chromium, expect, test, type Browser, type Page } from '@playwright/test';
import { confirmationCode } from '../../src/lib/screen/confirmation-code.ts';
import { codePicture, type CodePicture } from '../../src/lib/ui/screen/show/code-picture.ts';
import { canvasCamera, type CanvasCamera } from '../helpers/screen/canvas-camera.ts';
import { chromiumPath } from '../helpers/browser/chromium.mjs';
import { codesOf, seeingCodes } from '../helpers/screen/fake-camera.ts';
import {
  BLOCKS,
  COARSE,
  digest,
  file,
  forged,
  frames,
  NAME,
  noFaults,
  RACE,
  RECORDS,
  recordsStored,
} from '../helpers/screen/screen-handoff.ts';
import { makeRecords } from '../reference/screen/make-records.mjs';

const PHONE = { width: 390, height: 844 };
async function openJoin(browser: Browser, baseURL: string): Promise<Page> {
  const context = await browser.newContext({ baseURL, viewport: PHONE, hasTouch: true, serviceWorkers: 'block' });
  const page = await context.newPage();
  await page.goto('/join');
  return page;
}

async function film(page: Page): Promise<void> {
  await page.getByRole('button', { name: 'Film another tablet’s codes' }).click();
}

test('one tablet shows a race, another films it: the same code on both, and nothing stored before it is taken', async ({
  page: sender,
  baseURL,
}) => {
  await sender.setViewportSize({ width: 820, height: 1180 });
  await sender.goto('/join');
  await sender
    .getByLabel('Read hand-off files')
    .setInputFiles({ name: 'field.ndjson', mimeType: 'application/x-ndjson', buffer: Buffer.from(file) });
  await sender.getByRole('link', { name: `Open ${NAME}` }).click();
  await sender.getByRole('button', { name: 'Show to another tablet' }).click();
  await expect(sender.getByText(`${NAME}: ${RECORDS} records by 3 observers`)).toBeVisible();
  await noFaults(sender);
  const dialog = sender.getByRole('dialog', { name: NAME });
  await sender.getByRole('button', { name: 'Show the codes' }).click();
  // Version 15: 77 modules and the quiet zone.
  await shownCodes(sender, 2, 85);
  await dialog.getByRole('button', { name: 'Stop' }).click();
  await sender.getByLabel('Coarse').check();
  await sender.getByRole('button', { name: 'Show the codes' }).click();
  await expect(dialog.getByText(confirmationCode(digest))).toBeVisible();
  await noFaults(sender);
  const codes = await shownCodes(sender, 9);
  await dialog.getByRole('button', { name: 'They have it' }).click();
  await expect(sender.getByText('Noted: the other tablet has these records.')).toBeVisible();

  await seeingCodes(codes, async (browser) => {
    const page = await openJoin(browser, baseURL!);
    await noFaults(page);
    await film(page);
    await expect(page.getByRole('heading', { name: NAME })).toBeVisible();
    await expect(page.getByTestId('confirmation')).toHaveText(confirmationCode(digest));
    await expect(page.getByText(`${RECORDS}, ${RECORDS} of them new here`)).toBeVisible();
    await noFaults(page);
    expect(await recordsStored(page)).toBe(0);
    await page.getByRole('button', { name: `Take ${RECORDS} records` }).click();
    await expect(page.getByText(`${RECORDS} records, ${RECORDS} of them new here.`)).toBeVisible();
    expect(await recordsStored(page)).toBe(RECORDS);

    // The same again brings nothing new, and leaving it stores nothing.
    await film(page);
    await expect(page.getByText(`${RECORDS}, 0 of them new here`)).toBeVisible();
    await page.getByRole('button', { name: 'Leave it' }).click();
    await page
      .getByRole('link', { name: `Open ${NAME}` })
      .or(page.getByRole('heading', { name: 'Join a race' }))
      .first()
      .waitFor();
    expect(await recordsStored(page)).toBe(RECORDS);
  });
});

/** The pictures that the sender's screen shows, one after the other, as modules. */
async function shownCodes(page: Page, count: number, side = 65): Promise<CodePicture[]> {
  const shown = await page.evaluate(
    async ([count, side]) => {
      const canvas = document.querySelector<HTMLCanvasElement>('dialog canvas')!;
      const pictures: { side: number; dark: number[] }[] = [];
      let last = '';
      while (pictures.length < count) {
        await new Promise(requestAnimationFrame);
        const now = canvas.dataset['shown'] ?? '';
        if (now === last || now === '0') continue;
        last = now;
        const scale = canvas.width / side;
        const { data } = canvas.getContext('2d')!.getImageData(0, 0, canvas.width, canvas.height);
        const dark: number[] = [];
        for (let y = 0; y < side; y += 1) {
          for (let x = 0; x < side; x += 1) {
            const at = (Math.floor((y + 0.5) * scale) * canvas.width + Math.floor((x + 0.5) * scale)) * 4;
            dark.push(data[at]! < 128 ? 1 : 0);
          }
        }
        for (let at = 0; at < canvas.width * canvas.height; at += 1) {
          const [x, y] = [Math.floor((at % canvas.width) / scale), Math.floor(at / canvas.width / scale)];
          if (data[at * 4]! !== (dark[y * side + x] ? 0 : 255))
            throw new Error(`module ${x}, ${y} is not of one colour`);
        }
        pictures.push({ side, dark });
      }
      return pictures;
    },
    [count, side] as const,
  );
  return shown.map(({ side, dark }) => ({ side, dark: Uint8Array.from(dark) }));
}

/** The Join page on a device whose camera sees what the test puts in view. */
async function openJoinWithCamera(page: Page, view?: { width: number; height: number }): Promise<CanvasCamera> {
  await page.setViewportSize(PHONE);
  const camera = await canvasCamera(page, view);
  await page.goto('/join');
  return camera;
}

test('another tablet’s codes, codes of a newer version and a code on a poster are said or passed over', async ({
  page,
}) => {
  const camera = await openJoinWithCamera(page);
  const own = frames(2);
  const [poster, newer, first, second] = codesOf(
    ['HTTPS://HUB.EXAMPLE/SOUP-KITCHEN', forged(own[0]!, (bytes) => (bytes[2] = 2)), ...own],
    COARSE,
  );
  await camera.show(poster!);
  await film(page);
  await expect(page.getByText('Come closer, hold the camera straight')).toBeVisible();
  await expect(page.getByText('No code yet.')).toBeVisible();
  await camera.show(newer!);
  await expect(page.getByText('These codes come from a newer Kerbside.')).toBeVisible();
  await camera.show(first!);
  await expect(page.getByText(`1 of ${BLOCKS} parts`)).toBeVisible();
  await camera.show(second!);
  await expect(page.getByText(`2 of ${BLOCKS} parts`)).toBeVisible();
  // The sender is changed in mid-way.
  await camera.show(...codesOf(frames(BLOCKS, { session: 8 }), COARSE));
  await expect(page.getByText('Another tablet’s codes are in view.')).toBeVisible();
  await expect(page.getByText(`2 of ${BLOCKS} parts`)).toBeVisible();
  await page.getByRole('button', { name: 'Begin again with the codes in view' }).click();
  await expect(page.getByRole('button', { name: `Take ${RECORDS} records` })).toBeVisible();
  expect(await recordsStored(page)).toBe(0);
});

test('two senders in view at once: one is received whole, the other left', async ({ page }) => {
  const camera = await openJoinWithCamera(page);
  const [mine, other] = [codesOf(frames(BLOCKS), COARSE), codesOf(frames(BLOCKS, { session: 8 }), COARSE)];
  await camera.show(mine[0]!);
  await film(page);
  await expect(page.getByText(`1 of ${BLOCKS} parts`)).toBeVisible();
  await camera.show(...mine.flatMap((code, i) => [other[i]!, code]));
  await expect(page.getByTestId('confirmation')).toHaveText(confirmationCode(digest));
  expect(await recordsStored(page)).toBe(0);
});

test('a phone held upright reads the codes in the square of its picture', async ({ page }) => {
  const camera = await openJoinWithCamera(page, { width: 480, height: 640 });
  await camera.show(...codesOf(frames(BLOCKS), COARSE));
  await film(page);
  await expect(page.getByTestId('confirmation')).toHaveText(confirmationCode(digest));
});

test('a forged frame with the right CRC spoils the sequence: it is said, and nothing is taken', async ({ page }) => {
  const camera = await openJoinWithCamera(page);
  const [first, ...rest] = frames(BLOCKS);
  const [wrong, ...right] = codesOf([forged(first!, (bytes) => (bytes[60]! ^= 1)), ...rest], COARSE);
  await camera.show(wrong!);
  await film(page);
  await expect(page.getByText(`1 of ${BLOCKS} parts`)).toBeVisible();
  await camera.show(...right);
  await expect(page.getByText('What came is damaged')).toBeVisible();
  expect(await recordsStored(page)).toBe(0);
  await noFaults(page);
});

test('on a race’s page another race is refused', async ({ page }) => {
  const mine = makeRecords(2)
    .replaceAll(RACE, '3f0f9a52-6c1e-4b0a-9d53-0c6a5f3b2a11')
    .replaceAll(NAME, 'Alder Ten (invented)');
  const camera = await openJoinWithCamera(page);
  await page
    .getByLabel('Read hand-off files')
    .setInputFiles({ name: 'mine.ndjson', mimeType: 'application/x-ndjson', buffer: Buffer.from(mine) });
  await page.getByRole('link', { name: 'Open Alder Ten (invented)' }).click();
  // Both pages can film.
  await expect(page.getByRole('heading', { name: 'Hand-off', exact: true })).toBeVisible();
  await camera.show(...codesOf(frames(BLOCKS), COARSE));
  await film(page);
  await expect(page.getByText(`These codes hold another race: ${NAME}`)).toBeVisible();
  expect(await recordsStored(page)).toBe(2);
});

test('a camera that is pulled out, and a page in the background, end it', async ({ page }) => {
  const camera = await openJoinWithCamera(page);
  await camera.show(...codesOf(frames(1), COARSE));
  await film(page);
  await expect(page.getByText(`1 of ${BLOCKS} parts`)).toBeVisible();
  await noFaults(page);
  const ended = await page.evaluate(() => {
    const stream = document.querySelector('video')!.srcObject as MediaStream;
    stream.getTracks()[0]!.dispatchEvent(new Event('ended'));
    return stream.getTracks()[0]!.readyState;
  });
  expect(ended).toBe('ended');
  await expect(page.getByText('The camera was disconnected.')).toBeVisible();

  await film(page);
  await expect(page.getByText(`1 of ${BLOCKS} parts`)).toBeVisible();
  await page.evaluate(() => {
    Object.defineProperty(document, 'visibilityState', { value: 'hidden', configurable: true });
    document.dispatchEvent(new Event('visibilitychange'));
  });
  await expect(page.getByText('This page went out of view')).toBeVisible();
  expect(await page.locator('video').count()).toBe(0);
  expect(await recordsStored(page)).toBe(0);
});

test('a camera that is refused, missing or busy gets its sentence', async ({ page }) => {
  await page.goto('/join');
  for (const [name, sentence] of [
    ['NotAllowedError', 'The camera was refused.'],
    ['NotFoundError', 'This device has no camera'],
    ['NotReadableError', 'another app may be using it'],
  ] as const) {
    await page.evaluate((errorName) => {
      navigator.mediaDevices.getUserMedia = () => Promise.reject(new DOMException('', errorName));
    }, name);
    await film(page);
    await expect(page.getByText(sentence)).toBeVisible();
  }
});

// The films are of the codes 0 to 1 and 2 to 6 of this hand-off, coarse, session 7, each in five pictures at 30 a second
// (`writeCodeClip`, then VP8 by ffmpeg).
test('a film of the codes gives the same, and what is missing may come with another film', async ({ page }) => {
  await page.goto('/join');
  const input = page.getByLabel('Read a film of the codes');
  await input.setInputFiles({ name: 'poem.webm', mimeType: 'video/webm', buffer: Buffer.from('no film') });
  await expect(page.getByText('This browser cannot play that film.')).toBeVisible();
  await input.setInputFiles('tests/reference/screen/film-first.webm');
  await expect(page.getByText(`The film holds 2 of ${BLOCKS} parts.`)).toBeVisible({ timeout: 20_000 });
  await input.setInputFiles('tests/reference/screen/film-rest.webm');
  await expect(page.getByTestId('confirmation')).toHaveText(confirmationCode(digest), { timeout: 20_000 });
  expect(await recordsStored(page)).toBe(0);
  await page.getByRole('button', { name: `Take ${RECORDS} records` }).click();
  await expect(page.getByText(`${RECORDS} of them new here.`)).toBeVisible();
});

// All codes of the same hand-off in pictures that last from a thirtieth to a third of a second, as cameras record in poor light
// (`writeCodeClip`, pictures left out by ffmpeg).
test('a film whose pictures last unequally long gives the records', async ({ page }) => {
  await page.goto('/join');
  await page.getByLabel('Read a film of the codes').setInputFiles('tests/reference/screen/film-unequal.webm');
  await expect(page.getByTestId('confirmation')).toHaveText(confirmationCode(digest));
});

test('a lead’s code for joining is scanned on the Join screen; other codes are said for what they are', async ({
  page,
  baseURL,
}) => {
  const link = (origin: string, code: string) => codePicture(`${origin}/join#${code}`, 0, 6);
  const camera = await openJoinWithCamera(page);
  const scan = page.getByRole('button', { name: 'Scan the code' });
  await camera.show(codePicture('https://bakery.test/sunday', 0, 6));
  await scan.click();
  await expect(page.getByText('This code is not for joining.')).toBeVisible();
  await camera.show(...codesOf(frames(1), COARSE));
  await expect(page.getByText('These are running codes of a hand-off')).toBeVisible();
  await camera.show(link('http://192.0.2.7:4173', 'KFM-7XRA-34T'));
  await expect(page.getByRole('link', { name: 'http://192.0.2.7:4173/join' })).toBeVisible();
  expect(await page.locator('video').count()).toBe(0);
  await noFaults(page);
  await camera.show(link(baseURL!, 'AAA-AAAA-AAA'));
  await scan.click();
  await expect(page.getByLabel('Join code')).toHaveValue('AAA-AAAA-AAA');
  await expect(page.getByText('No race has this join code')).toBeVisible();
});

test('on plain http a film gives the records, and the codes are shown all the same, for ten minutes', async ({
  baseURL,
}) => {
  const executablePath = chromiumPath();
  const browser = await chromium.launch({
    ...(executablePath === undefined ? {} : { executablePath }),
    args: ['--no-sandbox', '--host-resolver-rules=MAP hub.test 127.0.0.1'],
  });
  try {
    const page = await (await browser.newContext({ viewport: PHONE })).newPage();
    await page.goto(`http://hub.test:${new URL(baseURL!).port}/join`);
    await expect(page.getByText('there browsers give no camera')).toBeVisible();
    await expect(page.getByRole('button', { name: 'Film another tablet’s codes' })).toHaveCount(0);
    const input = page.getByLabel('Read a film of the codes');
    await input.setInputFiles('tests/reference/screen/film-first.webm');
    await expect(page.getByText(`The film holds 2 of ${BLOCKS} parts.`)).toBeVisible({ timeout: 20_000 });
    await input.setInputFiles('tests/reference/screen/film-rest.webm');
    await page.getByRole('button', { name: `Take ${RECORDS} records` }).click({ timeout: 20_000 });
    await page.clock.install();
    await page.getByRole('link', { name: `Open ${NAME}` }).click();
    await page.getByRole('button', { name: 'Show to another tablet' }).click();
    await page.getByRole('button', { name: 'Show the codes' }).click();
    await expect(page.locator('dialog canvas')).toHaveAttribute('data-shown', /^[2-9]|\d\d/);
    await page.clock.fastForward('09:30');
    await expect(page.getByRole('dialog')).toBeVisible();
    await page.clock.fastForward('00:40');
    await expect(page.getByText('Ten minutes are up')).toBeVisible();
  } finally {
    await browser.close();
  }
});
