import { expect, test, type Browser, type Page } from '@playwright/test';
import type { Race } from '../../../src/lib/race/race.ts';
import { writeHandoff } from '../../../src/lib/tables/handoff-file.ts';
import { axeFaults } from '../browser/axe-faults.ts';
import { startHub } from '../hub/start-hub.mjs';

export const KEY = 'handoff-organiser-key-0123456789';
// A hub for each worker: repeated side by side, two runs of a test would be two tablets of one race.
const PORT = Number(process.env['KERBSIDE_TEST_PORT'] ?? 4373) + 100 + Number(process.env['TEST_PARALLEL_INDEX'] ?? 0);
export const PHONE = { width: 390, height: 844 };
export const TABLET = { width: 820, height: 1180 };
export const LAPTOP = { width: 1180, height: 820 };
export const race: Race = {
  id: '6b0c2f7e-55aa-4a39-9c5e-2d9d3f0b6c07',
  name: 'Alder Ten',
  date: '2026-10-04',
  checkpoints: [
    { id: 'k5', name: 'Mill', km: 5 },
    { id: 'k15', name: 'Weir', km: 15 },
  ],
  observers: [
    { code: 'A1', checkpoint: 'k5', side: 'left' },
    { code: 'B1', checkpoint: 'k15', side: 'right' },
    { code: 'C1', checkpoint: 'k15', side: 'left' },
  ],
};
export const raceFile = {
  name: 'alder-ten.ndjson',
  mimeType: 'application/x-ndjson',
  buffer: Buffer.from([...writeHandoff(race, [])].join('')),
};

/** The hub of this worker, while a file's tests run. */
export let hub: Awaited<ReturnType<typeof startHub>>;

/** Has the tests of a file find a hub that does not know the race. */
export function withOwnHub(): void {
  test.beforeAll(async () => {
    hub = await startHub({ port: PORT, key: KEY });
  });
  test.afterAll(async () => {
    await hub.end();
  });
  test.beforeEach(forgetRace);
}

async function forgetRace(): Promise<void> {
  const headers = { authorization: `Bearer ${KEY}`, 'content-type': 'application/json' };
  const path = `${hub.url}/api/v1/races/${race.id}`;
  const there = await fetch(path, { headers });
  if (!there.ok) return;
  const { name } = (await there.json()) as Race;
  const erased = await fetch(path, { method: 'DELETE', headers, body: JSON.stringify({ name }) });
  expect(erased.ok).toBe(true);
}

export async function device(
  browser: Browser,
  viewport: { width: number; height: number },
  dark = false,
): Promise<Page> {
  const context = await browser.newContext({
    baseURL: hub.url,
    viewport,
    acceptDownloads: true,
    colorScheme: dark ? 'dark' : 'light',
    serviceWorkers: 'allow',
  });
  return context.newPage();
}

export const handOff = (page: Page) => page.goto(`/races/${race.id}/handoff`);

export async function openRaceFromFile(page: Page, file = raceFile, name = race.name): Promise<void> {
  await page.goto('/join');
  await page.getByLabel('Read hand-off files').setInputFiles(file);
  await page.getByRole('link', { name: `Open ${name}` }).click();
}

/** Opens the race of the page's Hand-off screen at the hub; returns the observers' join code. */
export async function openAtHub(page: Page): Promise<string> {
  await page.getByText('You are the lead').click();
  await page.getByLabel('Organiser key').fill(KEY);
  await page.getByRole('button', { name: 'Open this race at the hub' }).click();
  return page.getByTestId('join-code').innerText();
}

export async function takeStation(page: Page, observer: string): Promise<void> {
  await page.getByRole('button', { name: new RegExp(`^${observer} `) }).click();
  await page.getByRole('button', { name: 'Start tallying' }).click();
  await page.getByRole('group', { name: 'Foot grid' }).waitFor();
}

export async function joinAs(page: Page, code: string, observer: string): Promise<void> {
  await page.goto(`/join#${code}`);
  await page.getByRole('button', { name: 'Join', exact: true }).click();
  await takeStation(page, observer);
}

/** Types bibs, both feet midfoot (the middle key of the middle row), and waits until each is durable. */
export async function tally(page: Page, bibs: readonly string[]): Promise<void> {
  // Before the grid stands, nobody hears the keys.
  await page.getByRole('group', { name: 'Foot grid' }).waitFor();
  const before = Number(await page.locator('main').getAttribute('data-kept'));
  for (const [i, bib] of bibs.entries()) {
    await page.keyboard.type(bib);
    await page.keyboard.press('s');
    await expect(page.locator('main')).toHaveAttribute('data-kept', String(before + i + 1));
  }
}

export async function noAxeFaults(page: Page): Promise<void> {
  expect(await axeFaults(page)).toEqual([]);
}

export async function noSidewaysScroll(page: Page): Promise<void> {
  expect(await page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth)).toBeLessThanOrEqual(0);
}

export async function savedFile(page: Page): Promise<string> {
  const coming = page.waitForEvent('download');
  await page.getByRole('button', { name: 'Save a hand-off file' }).click();
  return (await coming).path();
}

/** The one row of the lead's board or of the gaps that names this observer. */
export const rowOf = (page: Page, observer: string) =>
  page
    .getByRole('region', { name: 'Devices' })
    .getByRole('row')
    // Whole: a device's short name may hold the same letters.
    .filter({ has: page.getByRole('cell', { name: observer, exact: true }) });
