import { readFile } from 'node:fs/promises';
import { expect, test, type Page } from '@playwright/test';
import { makeRecords } from '../reference/screen/make-records.mjs';
import { file, openHandOff } from '../helpers/screen/screen-handoff.ts';

test('the calm pace is taken of itself under reduced motion, and the page out of view ends the showing', async ({
  page,
}) => {
  await page.emulateMedia({ reducedMotion: 'reduce' });
  await openHandOff(page, file);
  await page.getByRole('button', { name: 'Show to another tablet' }).click();
  await expect(page.getByLabel('Calm pace')).toBeChecked();
  await page.getByRole('button', { name: 'Show the codes' }).click();
  await expect(page.getByRole('dialog').getByLabel('Calm pace')).toBeChecked();
  await page.evaluate(() => {
    Object.defineProperty(document, 'visibilityState', { value: 'hidden', configurable: true });
    document.dispatchEvent(new Event('visibilitychange'));
  });
  await expect(page.getByText('The page went out of view')).toBeVisible();
  await expect(page.getByRole('dialog')).toHaveCount(0);
});

test('more than 20,000 records are not shown: the sender says to save a file', async ({ page }) => {
  await openHandOff(page, makeRecords(20_001));
  await page.getByRole('button', { name: 'Show to another tablet' }).click();
  await expect(
    page.getByText('20,001 records are more than codes can carry (20,000). Save a hand-off file'),
  ).toBeVisible();
  await expect(page.getByRole('button', { name: 'Show the codes' })).toHaveCount(0);
});

test('the screen is kept awake while codes are shown, and no longer', async ({ page }) => {
  await page.addInitScript(() => {
    const held = { count: 0 };
    const request = () => {
      held.count += 1;
      const lock = Object.assign(new EventTarget(), {
        released: false,
        release: () => {
          held.count -= 1;
          lock.released = true;
          return Promise.resolve();
        },
      });
      return Promise.resolve(lock);
    };
    Object.defineProperty(navigator, 'wakeLock', { value: { request } });
    Object.assign(window, { locksHeld: held });
  });
  const locksHeld = () => page.evaluate(() => (window as unknown as { locksHeld: { count: number } }).locksHeld.count);
  await openHandOff(page, file);
  await page.getByRole('button', { name: 'Show to another tablet' }).click();
  await expect(page.getByRole('button', { name: 'Show the codes' })).toBeVisible();
  expect(await locksHeld()).toBe(0);
  await page.getByRole('button', { name: 'Show the codes' }).click();
  await expect.poll(locksHeld).toBe(1);
  await page.getByRole('dialog').getByRole('button', { name: 'Stop' }).click();
  await expect.poll(locksHeld).toBe(0);
});

/** Has the device share files: keeps what was shared, or fails with an error of this name. */
async function shareWith(page: Page, failure: string | null): Promise<void> {
  await page.evaluate((failure) => {
    Object.assign(navigator, {
      canShare: () => true,
      share: async ({ files }: { files: File[] }) => {
        if (failure !== null) throw new DOMException('', failure);
        const [file] = files;
        Object.assign(window, { shared: { name: file!.name, type: file!.type, text: await file!.text() } });
      },
    });
  }, failure);
}

test('where the device shares files, the same file is shared as text; a share that is broken off counts for nothing', async ({
  page,
}) => {
  await page.addInitScript(() => Object.assign(navigator, { canShare: () => true }));
  await openHandOff(page, file);
  const share = page.getByRole('button', { name: 'Share a hand-off file' });
  await expect(share).toBeVisible();
  await shareWith(page, 'AbortError');
  await share.click();
  await expect(share).toBeEnabled();
  await expect(page.getByText('Check that it arrived')).toHaveCount(0);
  await shareWith(page, 'NotAllowedError');
  await share.click();
  await expect(page.getByText('This device did not share it. Save a file instead.')).toBeVisible();
  await shareWith(page, null);
  await share.click();
  await expect(page.getByText('Check that it arrived')).toBeVisible();
  const shared = await page.evaluate(
    () => (window as unknown as { shared: { name: string; type: string; text: string } }).shared,
  );
  expect(shared.name).toMatch(/\.txt$/);
  expect(shared.type).toBe('text/plain');
  const download = page.waitForEvent('download');
  await page.getByRole('button', { name: 'Save a hand-off file' }).click();
  expect(shared.text).toBe(await readFile(await (await download).path(), 'utf8'));
});
