import { readFileSync } from 'node:fs';
import { expect, test, type Page } from '@playwright/test';
import { axeFaults } from '../helpers/browser/axe-faults.ts';
import { knowDice } from '../helpers/browser/known-dice.ts';
import { drawSet } from '../../src/lib/practice/draw-set.ts';
import { seedRace } from '../helpers/browser/seed-race.ts';

const openCells = (page: Page) => page.locator('[data-cell]:not([disabled])');

async function prepare(page: Page, level: number): Promise<void> {
  await page.goto('/practice');
  await page.getByLabel('Observer').fill('K1');
  await page.getByRole('radio', { name: new RegExp(`^${level} `) }).check();
}

async function begin(page: Page, level: number): Promise<void> {
  await prepare(page, level);
  await page.getByRole('button', { name: 'Begin training' }).click();
}

/** Answers the landing that is shown with the n-th row of the grid, once the foot is down. */
async function answer(page: Page, row: number): Promise<void> {
  const next = page.getByRole('button', { name: 'Next' });
  await expect(async () => {
    await openCells(page).nth(row).click({ timeout: 500 });
    await expect(next).toBeVisible({ timeout: 300 });
  }).toPass();
}

/**
 * Presses the button that brings a landing and shows it in a time of its own, so that no machine draws it too slowly.
 *
 * @param position its number in the training, from 1
 */
async function showLanding(page: Page, button: string, position: number): Promise<void> {
  await page.clock.pauseAt(new Date(Date.UTC(2031, 4, 3, 9, position)));
  await page.getByRole('button', { name: button }).click();
  await expect(async () => {
    await page.clock.runFor(200);
    await expect(page.getByText(`${position} of 30`)).toBeVisible({ timeout: 100 });
  }).toPass();
  await page.clock.runFor(4000);
  await page.clock.resume();
}

test('landings are shown, answered on the tally’s grid, scored, saved and erased', async ({ page }) => {
  await page.clock.install({ time: new Date('2031-05-03T08:00:00Z') });
  await prepare(page, 4);
  await showLanding(page, 'Begin training', 1);
  // Nobody answers: the landing waits and says what it waits for.
  await expect(page.getByText('Which was it? Not seen is an answer too.')).toBeVisible();
  expect(await axeFaults(page)).toEqual([]);
  for (let i = 0; i < 3; i += 1) {
    await answer(page, i);
    await expect(page.getByText(/^[✓✗]\s+(Rearfoot|Midfoot|Forefoot), −?\d+\.\d°/)).toBeVisible();
    await showLanding(page, 'Next', i + 2);
  }
  await page.getByRole('button', { name: 'End' }).click();
  await expect(page.getByText('No verdict: it takes 30 classed answers')).toBeVisible();
  expect(await axeFaults(page)).toEqual([]);
  await page.emulateMedia({ colorScheme: 'dark' });
  expect(await axeFaults(page)).toEqual([]);

  const saved = page.waitForEvent('download');
  await page.getByRole('button', { name: 'Save practice.csv' }).click();
  const rows = readFileSync(await (await saved).path(), 'utf8')
    .trimEnd()
    .split('\r\n');
  expect(rows).toHaveLength(4);
  expect(rows[0]).toBe(
    'session,observer,set,position,item,class,answer,foot,rate,level,angle,speed,contact_ms,occlusion,clutter,response_ms,shown_at,voided',
  );

  await page.getByRole('button', { name: 'Back to Practice' }).click();
  await page.reload();
  await expect(page.getByLabel('Observer')).toHaveValue('K1');
  const sessions = page.getByRole('region', { name: 'Sessions on this device' });
  await expect(sessions.getByText('Training, level 4, a third of each')).toBeVisible();
  expect(await axeFaults(page)).toEqual([]);
  await sessions.getByRole('button', { name: /^Erase the session/ }).click();
  await sessions.getByRole('button', { name: /^Erase for good/ }).click();
  await expect(sessions).toBeHidden();
});

test('a slow landing may be looked at again; the first answer counts; the keyboard does it all', async ({ page }) => {
  await begin(page, 2);
  await expect(page.getByRole('button', { name: 'Show again' })).toBeVisible();
  await page.getByRole('button', { name: 'Show again' }).click();
  // One of the two columns is asked about: each key does nothing in the other.
  await page.keyboard.press('q');
  await page.keyboard.press('c');
  await expect(page.getByRole('button', { name: 'Next' })).toBeVisible();
  await expect(page.locator('[aria-pressed="true"]')).toHaveCount(1);
  await page.locator('body').click({ position: { x: 2, y: 2 } });
  await page.keyboard.press('Enter');
  await expect(page.getByText('2 of 30')).toBeVisible();
});

test('a test goes on by itself, is scored by what was shown, and says nothing before its end', async ({ page }) => {
  const SEED = 9;
  await knowDice(page, SEED);
  await page.clock.install({ time: new Date('2031-05-03T08:00:00Z') });
  await page.goto('/practice');
  await page.getByLabel('Observer').fill('K1');
  await page.clock.pauseAt(new Date('2031-05-03T08:01:00Z'));
  await page.getByRole('button', { name: 'Begin the test' }).click();
  // The set as the seed draws it; of five landings three are answered rightly, one wrongly and one not at all.
  const shown = drawSet({ seed: SEED, items: 120, level: 4, mix: [1, 1, 1] }).slice(0, 5);
  const wrong = shown[2]!.class === 'midfoot' ? 'forefoot' : 'midfoot';
  const answers = shown.map((landing, i) => (i === 2 ? wrong : i === 3 ? 'unseen' : landing.class));
  // The device is measured first.
  await page.clock.runFor(1000);
  for (const [i, given] of answers.entries()) {
    await expect(page.getByText(`${i + 1} of 120`)).toBeVisible();
    await page.clock.runFor(1900);
    await page.locator(`[data-cell$="-${given}"]:not([disabled])`).click();
    await expect(page.locator('[aria-pressed="true"]')).toHaveCount(1);
    await expect(page.getByText(/^[✓✗]/)).toHaveCount(0);
    await expect(async () => {
      await page.clock.runFor(200);
      await expect(page.getByText(`${i + 2} of 120`)).toBeVisible({ timeout: 100 });
    }).toPass();
  }
  await page.getByRole('button', { name: 'End' }).click();
  const all = page.getByRole('row', { name: /^All/ }).getByRole('cell');
  await expect(all.nth(0)).toHaveText('3');
  await expect(all.nth(1)).toHaveText('4');
  const saved = page.waitForEvent('download');
  await page.getByRole('button', { name: 'Save practice.csv' }).click();
  const [, ...rows] = readFileSync(await (await saved).path(), 'utf8')
    .trimEnd()
    .split('\r\n')
    .map((row) => row.split(','));
  expect(rows.map((row) => [row[3], row[4], row[5], row[6]])).toEqual(
    shown.map((landing, i) => [String(i + 1), landing.item, landing.class, answers[i]]),
  );
});

test('nothing moves unasked where less motion is wanted', async ({ page }) => {
  await page.emulateMedia({ reducedMotion: 'reduce' });
  await page.goto('/practice');
  await page.getByLabel('Observer').fill('K1');
  await expect(page.getByText('Practice is nothing but motion')).toBeVisible();
  await expect(page.getByRole('button', { name: 'Begin training' })).toBeDisabled();
  expect(await axeFaults(page)).toEqual([]);
  await page.getByRole('button', { name: 'Let it move' }).click();
  await expect(page.getByRole('button', { name: 'Begin training' })).toBeEnabled();
});

test('a device that draws too slowly is told so', async ({ page }) => {
  await page.addInitScript(() => {
    const frame = window.requestAnimationFrame.bind(window);
    let last = 0;
    // Every frame comes late: 50 ms after the one before.
    window.requestAnimationFrame = (callback) => {
      const wait = (): number =>
        frame((now) => {
          if (now - last < 50) wait();
          else {
            last = now;
            callback(now);
          }
        });
      return wait();
    };
  });
  await begin(page, 4);
  await expect(page.getByText(/This device draws too slowly: (1\d|20) frames a second/)).toBeVisible();
  await page.getByRole('button', { name: 'End' }).click();
  await expect(page.getByText('Nothing was answered.')).toBeVisible();
});

test('Practice stands at the top beside the races and fits a phone', async ({ page }) => {
  await page.setViewportSize({ width: 360, height: 640 });
  await page.goto('/');
  await page.getByRole('link', { name: 'Practice' }).click();
  await begin(page, 4);
  await expect(openCells(page).first()).toBeVisible();
  const height = await page.evaluate(() => document.documentElement.scrollHeight);
  expect(height).toBeLessThanOrEqual(640);
  expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBe(360);
});

/** A clip of half a second, made in the page: browsers play what they record. */
async function makeClip(page: Page): Promise<Buffer> {
  const bytes = await page.evaluate(async () => {
    const canvas = document.createElement('canvas');
    canvas.width = canvas.height = 64;
    const pen = canvas.getContext('2d')!;
    const recorder = new MediaRecorder(canvas.captureStream(30), { mimeType: 'video/webm' });
    const parts: Blob[] = [];
    recorder.ondataavailable = ({ data }) => parts.push(data);
    const stopped = new Promise((done) => (recorder.onstop = done));
    recorder.start();
    for (let i = 0; i < 15; i += 1) {
      pen.fillStyle = i % 2 ? '#fff' : '#000';
      pen.fillRect(0, 0, 64, 64);
      await new Promise((done) => setTimeout(done, 33));
    }
    recorder.stop();
    await stopped;
    return [...new Uint8Array(await new Blob(parts).arrayBuffer())];
  });
  return Buffer.from(bytes);
}

test('clips of whole runners are answered on both feet and leave as the table that corrects shares', async ({
  page,
}) => {
  await page.goto('/practice');
  const buffer = await makeClip(page);
  const clip = (name: string) => ({ name, mimeType: 'video/webm', buffer });
  const csv = (text: string) => ({ name: 'ford.csv', mimeType: 'text/csv', buffer: Buffer.from(text) });
  await page.getByLabel('Observer').fill('K1');
  await page.getByLabel('Clips, one a runner').setInputFiles([clip('a.webm'), clip('b.webm'), clip('stray.webm')]);
  await page.getByLabel(/^Key:/).setInputFiles(csv('item,key_left,key_right\na,heel,midfoot\n'));
  await expect(page.getByText('row 2, column key_left: "heel" is not one of')).toBeVisible();
  await page
    .getByLabel(/^Key:/)
    .setInputFiles(csv('item,key_left,key_right\na,rearfoot,midfoot\nb,forefoot,forefoot\n'));
  await expect(page.getByText('Left out: 1 without a row in the key.')).toBeVisible();
  await page.getByRole('button', { name: 'Begin with 2 clips' }).click();
  await expect(page.getByText('1 of 2')).toBeVisible();
  expect(await axeFaults(page)).toEqual([]);
  await expect(async () => {
    await page.locator('[data-cell="left-rearfoot"]').click();
    await page.locator('[data-cell="right-forefoot"]').click();
    await expect(page.getByText('2 of 2')).toBeVisible({ timeout: 500 });
  }).toPass();
  await expect(async () => {
    await page.locator('[data-cell="both-forefoot"]').click();
    await expect(page.getByRole('heading', { name: 'Clips: ford' })).toBeVisible({ timeout: 500 });
  }).toPass();
  const saved = page.waitForEvent('download');
  await page.getByRole('button', { name: 'Save practice-runners.csv' }).click();
  expect(readFileSync(await (await saved).path(), 'utf8')).toBe(
    [
      'item,observer,key_left,key_right,left,right',
      'ford/a,K1,rearfoot,midfoot,rearfoot,forefoot',
      'ford/b,K1,forefoot,forefoot,forefoot,forefoot',
      '',
    ].join('\r\n'),
  );
});

test('a race’s own clips have their key from what two reviewers agreed on', async ({ page }) => {
  const race = {
    ...{ id: '0b9a3f1e-55d1-4f0e-9a55-1f0c7f6f7a11', name: 'Quarry Ten (invented)', date: '2031-05-03' },
    checkpoints: [{ id: 'weir', name: 'Weir', km: 4 }],
  };
  const review = (n: number, bib: string, right: 'rearfoot' | 'midfoot') => ({
    ...{ id: `0197b2f0-0000-7000-8000-00000000000${String(n)}`, kind: 'sighting' as const, race: race.id },
    ...{ observer: `R${String(n % 2)}`, device: 'laptop', seq: n, madeAt: '2031-05-04T08:00:00.000Z' },
    ...{ checkpoint: 'weir', bib, left: 'rearfoot' as const, right, method: 'clip' as const },
    observedAt: '2031-05-03T09:00:00.000Z',
  });
  const records = [review(1, '7', 'midfoot'), review(2, '7', 'midfoot'), review(3, '8', 'rearfoot')];
  await seedRace(page, { race, startList: [], results: [], records, demo: false });
  await page.goto('/practice');
  await page.getByLabel('Observer').fill('K1');
  await page
    .getByLabel('or take the key from the reviews of a race’s own clips')
    .selectOption('Quarry Ten (invented), Weir');
  await expect(page.getByText('1 runner in the key. Name each clip by the bib.')).toBeVisible();
  await page
    .getByLabel('Clips, one a runner')
    .setInputFiles([{ name: '7.webm', mimeType: 'video/webm', buffer: await makeClip(page) }]);
  await expect(page.getByRole('button', { name: 'Begin with 1 clip' })).toBeEnabled();
});

test('Practice opens and shows landings without a network', async ({ browser }) => {
  const context = await browser.newContext({ serviceWorkers: 'allow' });
  const page = await context.newPage();
  await page.goto('/');
  await page.evaluate(async () => {
    await navigator.serviceWorker.ready;
  });
  await page.waitForFunction(() => navigator.serviceWorker.controller !== null);
  await context.setOffline(true);
  await begin(page, 4);
  await expect(page.getByText('1 of 30')).toBeVisible();
  await answer(page, 0);
  await page.getByRole('button', { name: 'End' }).click();
  await expect(page.getByText('No verdict:')).toBeVisible();
  await context.close();
});
