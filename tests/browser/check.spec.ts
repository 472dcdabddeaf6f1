import { expect, test, type Page } from '@playwright/test';
import { demoRace } from '../../src/lib/demo/demo-race.ts';
import { newId } from '../../src/lib/records/new-id.ts';
import { viewOfRace } from '../../src/lib/sightings/race-view.ts';
import type { Sighting, TallyRecord } from '../../src/lib/records/record.ts';
import { OUTCOMES, runnerClasses } from '../../src/lib/sightings/runner-classes.ts';
import { tableOfRecords } from '../../src/lib/sightings/table-of-records.ts';
import { usedSightings } from '../../src/lib/sightings/used-sightings.ts';
import { axeFaults } from '../helpers/browser/axe-faults.ts';
import { misreadField } from '../helpers/check/misread-field.mjs';
import { seedRace } from '../helpers/browser/seed-race.ts';

const demo = demoRace();
const { misread, swapped, dispute, double } = demo.plants;
const TITLES = [
  /clock of A2’s tablet is 90 s ahead/,
  new RegExp(`${misread.written} is not on the start list`),
  new RegExp(`${swapped.written} is not on the start list`),
  new RegExp(`${dispute.bib} is disputed`),
  new RegExp(`B1 entered ${double.bib} twice`),
];
const kindButton = (page: Page, title: string, count: number) =>
  page.getByRole('button', { name: `${title} ${count}`, exact: true });

/** The records written on the page's own device. */
async function ownRecords(page: Page): Promise<TallyRecord[]> {
  return page.evaluate(async () => {
    const db = await new Promise<IDBDatabase>((resolve, reject) => {
      const request = indexedDB.open('kerbside');
      request.onsuccess = () => resolve(request.result);
      request.onerror = () => reject(request.error ?? new Error('no database'));
    });
    const rows = await new Promise<{ record: TallyRecord }[]>((resolve, reject) => {
      const request = db.transaction('records').objectStore('records').getAll();
      request.onsuccess = () => resolve(request.result as { record: TallyRecord }[]);
      request.onerror = () => reject(request.error ?? new Error('no records'));
    });
    db.close();
    return rows.map((row) => row.record);
  });
}

/** What the findings have of some runners: their outcome at each checkpoint, or nothing. */
function outcomes(records: readonly TallyRecord[], bibs: readonly string[]): Record<string, string | undefined> {
  const table = tableOfRecords(viewOfRace(demo.race, records));
  const classes = runnerClasses(table, usedSightings(table));
  const found: Record<string, string | undefined> = {};
  for (let i = 0; i < classes.size; i += 1) {
    const bib = table.bibs[classes.bib[i]!]!;
    const place = table.checkpoints[classes.checkpoint[i]!]!.name;
    if (bibs.includes(bib)) found[`${bib} ${place}`] = OUTCOMES[classes.outcome[i]!];
  }
  return found;
}

/** How many runners the Findings screen counts, and whether it has one in dispute at the early checkpoint. */
async function findings(page: Page): Promise<{ sighted: number; disputed: boolean }> {
  await page.getByRole('link', { name: 'Findings' }).click();
  const sighted = page.getByText(/[\d,]+ runners sighted/);
  await expect(sighted).toBeVisible({ timeout: 20_000 });
  const notCounted = page.getByText(/^Not counted at Old Pier/);
  await expect(notCounted.first()).toBeAttached();
  const figures = {
    sighted: Number(/([\d,]+) runners sighted/.exec(await sighted.innerText())![1]!.replaceAll(',', '')),
    disputed: /\d disputed/.test((await notCounted.first().textContent()) ?? ''),
  };
  await page.getByRole('link', { name: 'Check' }).click();
  await expect(page.getByRole('button', { name: /^Settled \d/ })).toBeVisible();
  return figures;
}

async function noAxeFaults(page: Page): Promise<void> {
  expect(await axeFaults(page)).toEqual([]);
}

test('the planted doubts are found and settled by touch, and the findings change as they should', async ({
  browser,
}) => {
  const context = await browser.newContext({ viewport: { width: 390, height: 844 }, hasTouch: true });
  const page = await context.newPage();
  await seedRace(page, demo);
  for (const title of TITLES) await expect(page.getByText(title)).toBeVisible();
  await expect(page.getByRole('listitem')).toHaveCount(5);
  await expect(kindButton(page, 'Not on the start list', 2)).toBeVisible();
  await noAxeFaults(page);

  const bibs = [misread.written, misread.right, swapped.written, swapped.right, dispute.bib];
  const before = outcomes(demo.records, bibs);
  expect(before[`${dispute.bib} Old Pier`]).toBe('disputed');
  expect(before[`${misread.written} Old Pier`]).toBeDefined();
  expect(before[`${misread.right} Old Pier`]).toBeUndefined();

  const findingsBefore = await findings(page);
  expect(findingsBefore.disputed).toBe(true);

  // One tap accepts; the lead's code is asked for once.
  await page.getByRole('button', { name: new RegExp(`^It was ${misread.right}: accept`) }).tap();
  await page.getByLabel('Your code as lead').fill('Lead');
  await page.getByRole('button', { name: 'Decide in this name' }).tap();
  await expect(page.getByText(`${misread.written} at Old Pier corrected to ${misread.right}`)).toBeVisible();
  await page.getByRole('button', { name: new RegExp(`^It was ${swapped.right}: accept`) }).tap();
  await expect(kindButton(page, 'Not on the start list', 0)).toBeVisible();
  await page.getByRole('button', { name: /^Keep the latest: accept/ }).tap();
  await expect(kindButton(page, 'Entered twice', 0)).toBeVisible();

  await page.getByText(TITLES[3]!).tap();
  await noAxeFaults(page);
  await expect(page.getByRole('list', { name: 'Seen live' }).getByRole('listitem')).toHaveCount(2);
  await page.getByRole('button', { name: 'Both feet: midfoot' }).tap();
  await page.getByRole('button', { name: 'Left foot: rearfoot' }).tap();
  await page.getByRole('button', { name: 'Rule: left rearfoot, right midfoot' }).tap();
  // The only doubt left opens by itself.
  await expect(page.getByRole('heading', { name: TITLES[0]! })).toBeFocused();
  await page.getByRole('button', { name: 'Noted, leave it' }).tap();
  await expect(page.getByText(`No doubts are left in`)).toBeVisible();

  const own = await ownRecords(page);
  expect(own.map((r) => [r.kind, r.observer]).sort()).toEqual([
    ...['acceptance', 'correction', 'correction', 'ruling', 'withdrawal'].map((kind) => [kind, 'Lead']),
  ]);
  expect(outcomes([...demo.records, ...own], bibs)).toEqual({
    ...before,
    [`${misread.written} Old Pier`]: undefined,
    [`${misread.right} Old Pier`]: before[`${misread.written} Old Pier`],
    [`${swapped.written} Quarry Hill`]: undefined,
    [`${swapped.right} Quarry Hill`]: before[`${swapped.written} Quarry Hill`],
    [`${dispute.bib} Old Pier`]: 'asymmetric',
  });

  // Two bibs that nobody has are two runners who are known; the disputed one is classed.
  expect(await findings(page)).toEqual({ sighted: findingsBefore.sighted - 2, disputed: false });

  // Taken back, each doubt is there again.
  await page.getByRole('button', { name: 'Settled 5' }).tap();
  await noAxeFaults(page);
  for (let left = 5; left > 0; left -= 1) {
    await page.getByRole('list', { name: 'Settled, newest first' }).getByRole('button').first().tap();
    await expect(page.getByRole('button', { name: `Settled ${left - 1}` })).toBeVisible();
  }
  await page.getByRole('button', { name: 'All 5' }).tap();
  for (const title of TITLES) await expect(page.getByText(title)).toBeVisible();
  const after = [...demo.records, ...(await ownRecords(page))];
  expect(outcomes(after, bibs)).toEqual(before);
  await context.close();
});

test('the same by keyboard alone, offline, on a dark tablet', async ({ browser }) => {
  const context = await browser.newContext({
    viewport: { width: 1180, height: 820 },
    colorScheme: 'dark',
    serviceWorkers: 'allow',
  });
  const page = await context.newPage();
  await seedRace(page, demo);
  await expect(page.getByRole('listitem')).toHaveCount(5);
  await context.setOffline(true);
  const { keyboard } = page;
  await keyboard.press('?');
  await expect(page.getByText('take the last decision back')).toBeVisible();
  await noAxeFaults(page);
  await keyboard.press('?');

  // Into the list, down to the first bib that is not listed, and accept.
  await page.getByRole('button', { name: 'Settled 0' }).focus();
  await keyboard.press('Tab');
  await expect(page.getByRole('button', { name: TITLES[0]! })).toBeFocused();
  await keyboard.press('ArrowDown');
  await keyboard.press('a');
  await page.getByLabel('Your code as lead').waitFor();
  await keyboard.type('Lead');
  await keyboard.press('Enter');
  await expect(page.getByRole('listitem')).toHaveCount(4);
  // The focus goes on to the next doubt: its first candidate is taken with a digit.
  await expect(page.getByRole('listitem').nth(1).getByRole('button').first()).toBeFocused();
  await keyboard.press('1');
  await expect(page.getByRole('listitem')).toHaveCount(3);
  await keyboard.press('z');
  await expect(page.getByRole('listitem')).toHaveCount(4);
  await page.getByRole('listitem').nth(1).getByRole('button').first().focus();
  await keyboard.press('a');
  await expect(page.getByRole('listitem')).toHaveCount(3);

  await expect(page.getByRole('button', { name: TITLES[3]! })).toBeFocused();
  await keyboard.press('Enter');
  await expect(page.getByRole('heading', { name: TITLES[3]! })).toBeFocused();
  await noAxeFaults(page);
  await page.getByRole('button', { name: 'Both feet: rearfoot' }).focus();
  await keyboard.press('Space');
  await page.getByRole('button', { name: /^Rule: both rearfoot/ }).focus();
  await keyboard.press('Enter');
  await expect(page.getByRole('heading', { name: TITLES[4]! })).toBeFocused();
  await keyboard.press('Escape');
  await expect(page.getByRole('button', { name: TITLES[4]!, expanded: false })).toBeFocused();
  await keyboard.press('a');
  await keyboard.press('ArrowUp');
  await expect(page.getByRole('listitem')).toHaveCount(1);
  await keyboard.press('r');
  await expect(page.getByText('No doubts are left in')).toBeVisible();
  expect(await ownRecords(page)).toHaveLength(7);
  await context.close();
});

test('a long check says how far it is and can be stopped and begun again', async ({ page }) => {
  await seedRace(page, demo);
  // A worker that says how far it is and never comes to an end.
  await page.addInitScript(() => {
    const Real = Worker;
    let stalled = true;
    Object.assign(window, {
      letItWork: () => (stalled = false),
      Worker: class extends Real {
        readonly stalls: boolean;
        constructor(url: string | URL, options?: WorkerOptions) {
          super(url, options);
          this.stalls = String(url).includes('check-worker');
        }
        override postMessage(message: { ask?: number }, given?: Transferable[] | StructuredSerializeOptions) {
          if (!stalled || !this.stalls || message.ask === undefined)
            super.postMessage(message, Array.isArray(given) ? { transfer: given } : given);
          else this.onmessage?.(new MessageEvent('message', { data: { ask: message.ask, share: 0.4 } }));
        }
      },
    });
  });
  await page.reload();
  const progress = page.getByRole('progressbar', { name: 'Checked' });
  await expect(progress).toHaveAttribute('value', '0.4');
  await noAxeFaults(page);
  await page.getByRole('button', { name: 'Stop' }).click();
  await expect(page.getByText('Stopped. Nothing was checked.')).toBeVisible();
  await page.evaluate(() => (window as unknown as { letItWork(): void }).letItWork());
  await page.getByRole('button', { name: 'Check again' }).click();
  await expect(progress).toHaveCount(0);
  await expect(page.getByRole('button', { name: /^Settled \d/ })).toBeVisible();
});

test('thousands of doubts are one list of which a screenful is in the page', async ({ page }) => {
  const { input } = misreadField({ seed: 5, errorShare: 1 });
  const records = input.sightings.map((s, i): Sighting => ({
    ...{ id: newId(s.atMs + i, (bytes) => crypto.getRandomValues(bytes)), kind: 'sighting', race: demo.race.id },
    ...{ observer: s.observer, device: s.observer, seq: i + 1, madeAt: new Date(s.atMs).toISOString() },
    ...{ checkpoint: demo.race.checkpoints[s.checkpoint]!.id, bib: s.bib, left: s.left, right: s.right },
    ...{ method: 'live', observedAt: new Date(s.atMs).toISOString() },
  }));
  await seedRace(page, { race: demo.race, startList: [...input.startList], results: [], records });
  const rows = page.getByRole('listitem');
  await expect(rows.first()).toBeVisible();
  const count = Number(await rows.first().getAttribute('aria-setsize'));
  expect(count).toBeGreaterThan(2000);
  expect(await rows.count()).toBeLessThan(40);
  await rows.first().getByRole('button').first().focus();
  await page.keyboard.press('End');
  await expect(page.locator(`[aria-posinset="${count}"] button`).first()).toBeFocused();
  expect(await rows.count()).toBeLessThan(40);
});

test('the list of screens says how many doubts are open, and nothing while that may be wrong', async ({ page }) => {
  await seedRace(page, demo);
  const link = page.getByRole('navigation', { name: 'Screens of this race' }).getByRole('link', { name: /^Check/ });
  await expect(link).toHaveAccessibleName('Check · 5 open doubts');
  await page.getByRole('button', { name: /^Keep the latest: accept/ }).click();
  await page.getByLabel('Your code as lead').fill('Lead');
  await page.getByRole('button', { name: 'Decide in this name' }).click();
  await expect(link).toHaveAccessibleName('Check · 4 open doubts');

  // Counted by Check, it is there at once on another screen, also after a reload.
  await page.getByRole('link', { name: 'Set-up' }).click();
  await page.waitForURL(/\/setup$/);
  await page.reload();
  await expect(link).toHaveAccessibleName('Check · 4 open doubts', { timeout: 3000 });
  await noAxeFaults(page);

  // A course that is longer between the checkpoints may make a time odd: the number goes, and is counted anew.
  const findings = page.getByRole('link', { name: 'Findings' });
  const before = await findings.boundingBox();
  await page.getByRole('textbox', { name: 'Length in km' }).fill('43');
  await page.getByRole('textbox', { name: 'Length in km' }).press('Tab');
  await expect(link).toHaveAccessibleName('Check');
  expect(await findings.boundingBox()).toEqual(before);
  await expect(link).toHaveAccessibleName('Check · 4 open doubts', { timeout: 20_000 });

  // Records that came in another tab do the same.
  const other = await page.context().newPage();
  await other.goto(`/races/${demo.race.id}/check`);
  await other.getByRole('button', { name: new RegExp(`^It was ${misread.right}: accept`) }).click();
  await expect(link).toHaveAccessibleName('Check · 3 open doubts', { timeout: 20_000 });
});
