import { fileURLToPath } from 'node:url';
import { expect, type Page } from '@playwright/test';
import type { Race } from '../../../src/lib/race/race.ts';
import type { TallyRecord } from '../../../src/lib/records/record.ts';
import type { ClipKey } from './clip-records.ts';
import { openTally, TALLY_RACE } from '../tally/tally-race.ts';

// Clips and keys are drawn by make-clips.mjs beside them: frames, classes and angles are known by construction.
export const clipFile = (name: string) => fileURLToPath(new URL(`../../reference/clips/${name}`, import.meta.url));

export async function openClip(page: Page, name: string): Promise<void> {
  await openTally(page, { bibs: ['107'] });
  await page.goto(`/races/${TALLY_RACE}/clips`);
  await expect(page.getByLabel('Observer')).toHaveValue('N4');
  await page.getByLabel('Video files of this device').setInputFiles(clipFile(name));
  await expect(page.getByRole('status').filter({ hasText: 'Frame 0 of' })).toBeVisible();
}

export async function setUpClip(page: Page, { storedFps, recordedFps, direction }: ClipKey): Promise<void> {
  const form = page.getByRole('form', { name: 'About this clip' });
  if (storedFps < 61) await form.getByRole('radio', { name: String(recordedFps), exact: true }).check();
  await form.getByRole('radio', { name: direction }).check();
  await form.getByRole('button', { name: 'Begin the review' }).click();
  await expect(page.getByRole('group', { name: 'Marks' })).toBeVisible();
}

export async function goToFrame(page: Page, frame: number): Promise<void> {
  const field = page.getByLabel('Frame', { exact: true });
  await field.fill(String(frame));
  await field.press('Enter');
  await expect(page.locator('.where')).toContainText(`Frame ${frame} of`);
  await field.blur();
}

/** Taps points in the picture, one after the other. */
export async function tapPoints(
  page: Page,
  key: ClipKey,
  points: readonly (readonly [number, number])[],
): Promise<void> {
  await page.keyboard.press('p');
  const box = (await page.locator('.picture > canvas').boundingBox())!;
  for (const [x, y] of points) {
    await page.mouse.click(box.x + (x / key.width) * box.width, box.y + (y / key.height) * box.height);
  }
}

async function place(page: Page, key: ClipKey, points: readonly (readonly [number, number])[]): Promise<void> {
  await tapPoints(page, key, points);
  await expect(page.locator('.where')).toContainText('Points kept');
}

export async function markRunner(
  page: Page,
  key: ClipKey,
  runner: ClipKey['runners'][number],
  points: boolean,
): Promise<void> {
  for (const step of runner.steps) {
    await page.getByRole('button', { name: step.foot === 'left' ? 'Left foot' : 'Right foot', exact: true }).click();
    for (const [letter, frame, words] of [
      ['c', step.contact, 'Contact'],
      ['f', step.flat, 'Flat'],
      ['t', step.toeOff, 'Toe-off'],
    ] as const) {
      await goToFrame(page, frame);
      await page.keyboard.press(letter);
      await expect(page.locator('.where')).toContainText(`${words} of the ${step.foot} foot marked in frame ${frame}`);
      const { heel, toe, knee, ankle, flatHeel, flatToe } = step.points;
      if (points && letter === 'c') await place(page, key, [heel, toe, knee, ankle]);
      if (points && letter === 'f') await place(page, key, [flatHeel, flatToe]);
    }
  }
  await page.keyboard.type(runner.bib);
  if (runner.gait === 'walk') await page.getByRole('button', { name: 'Walking', exact: true }).click();
  else {
    for (const side of ['left', 'right'] as const) {
      const foot = runner.steps.find((step) => step.foot === side)?.class ?? 'unseen';
      await page.locator(`[data-cell="${side}-${foot}"]`).click();
    }
    await page.getByRole('button', { name: 'Close runner' }).click();
  }
  await expect(page.locator('.where')).toContainText(`${runner.bib} closed`);
}

/** What the page's own device holds. */
export async function recordsHeld(page: Page): Promise<{ race: Race; records: TallyRecord[] }> {
  return page.evaluate(async (id) => {
    const db = await new Promise<IDBDatabase>((resolve, reject) => {
      const request = indexedDB.open('kerbside');
      request.onsuccess = () => resolve(request.result);
      request.onerror = () => reject(request.error ?? new Error('no database'));
    });
    const read = <Value>(request: IDBRequest<Value>) =>
      new Promise<Value>((resolve, reject) => {
        request.onsuccess = () => resolve(request.result);
        request.onerror = () => reject(request.error ?? new Error('not read'));
      });
    const transaction = db.transaction(['records', 'races']);
    const rows = (await read(transaction.objectStore('records').getAll())) as { record: TallyRecord }[];
    const { race } = (await read(transaction.objectStore('races').get(id))) as { race: Race };
    db.close();
    return { race, records: rows.map(({ record }) => record) };
  }, TALLY_RACE);
}

export function csvRows(pieces: Iterable<string>): Record<string, string>[] {
  const [head = '', ...rows] = [...pieces].map((line) => line.trimEnd());
  const headings = head.split(',');
  return rows.map((row) => Object.fromEntries(row.split(',').map((cell, i) => [headings[i]!, cell])));
}
