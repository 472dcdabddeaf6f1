import type { Page } from '@playwright/test';

/** An invented race that tests put straight into the browser's storage, as Set-up would leave it. */
export const TALLY_RACE = '7d1f0c52-8f0e-4b7a-9d0c-3a5e5b1c2d41';

export interface TallyRaceOptions {
  /** Checkpoints of the one station: km each. */
  kms?: number[];
  bibs?: string[];
  samplingRule?: object;
  /** How several checkpoints belong together. */
  places?: 'one spot' | 'places apart';
}

/** What a record in the tablet's storage looks like to a test. */
export interface KeptRow {
  id: string;
  seq: number;
  tallied: number;
  record: {
    kind: string;
    bib?: string | null;
    left?: string;
    right?: string;
    gait?: string;
    target?: string;
    method?: string;
    checkpoint?: string;
    observedAt?: string;
    madeAt: string;
    device: string;
  };
}

/** Opens Tally of the race, which it puts into the storage first, and stands observer N4 there. */
export async function openTally(page: Page, options: TallyRaceOptions = {}, origin = ''): Promise<void> {
  await page.goto(`${origin}/races/${TALLY_RACE}/tally`);
  await page.getByText('is not on this device').waitFor();
  await putRace(page, options);
  await page.reload();
  await page.getByRole('button', { name: /^N4/ }).click();
  if ((options.kms?.length ?? 1) > 1) {
    await page.getByRole('radio', { name: options.places ?? 'one spot' }).check();
    if (options.places === 'places apart') await page.getByRole('radio', { name: `km ${options.kms?.[0]}` }).check();
  }
  await page.getByRole('radio', { name: 'go away from me' }).check();
  await page.getByRole('button', { name: 'Start tallying' }).click();
  await page.getByRole('group', { name: 'Foot grid' }).waitFor();
}

async function putRace(page: Page, { kms = [10], bibs = [], samplingRule }: TallyRaceOptions): Promise<void> {
  const checkpoints = kms.map((km) => ({ id: `at-${km}`, name: `Mill Bridge ${km}`, km }));
  const race = {
    id: TALLY_RACE,
    name: 'Mill Valley Ten (invented)',
    date: '2026-10-04',
    checkpoints,
    observers: checkpoints.map(({ id }) => ({ code: 'N4', checkpoint: id, side: 'left' })),
    ...(samplingRule ? { samplingRule } : {}),
  };
  await page.evaluate(
    async ({ race, bibs }) => {
      const opening = indexedDB.open('kerbside');
      await new Promise((resolve) => (opening.onsuccess = resolve));
      const writing = opening.result.transaction(['races', 'startLists'], 'readwrite');
      writing.objectStore('races').put({ id: race.id, race, openedAt: Date.now() });
      writing.objectStore('startLists').put({ race: race.id, revision: 0, rows: bibs.map((bib) => ({ bib })) });
      await new Promise((resolve) => (writing.oncomplete = resolve));
      opening.result.close();
    },
    { race, bibs },
  );
}

/** Every own record in the browser's storage, by `seq`. */
export async function keptRows(page: Page): Promise<KeptRow[]> {
  return page.evaluate(async () => {
    const opening = indexedDB.open('kerbside');
    await new Promise((resolve) => (opening.onsuccess = resolve));
    const reading = opening.result.transaction('records').objectStore('records').getAll();
    await new Promise((resolve) => (reading.onsuccess = resolve));
    opening.result.close();
    return (reading.result as KeptRow[]).sort((a, b) => a.seq - b.seq);
  });
}

/** The number of records made durable since the screen opened, as the screen tells it. */
export async function keptCount(page: Page): Promise<number> {
  return Number(await page.locator('main').getAttribute('data-kept'));
}

/** Waits for the feedback of the `count`-th record since the screen opened. */
export async function untilKept(page: Page, count: number): Promise<void> {
  await page.locator(`main[data-kept="${count}"]`).waitFor();
}

/** No thumb taps one key twice within 40 ms, and the app takes that for a bounce; on a fast machine this driver would. */
const THUMB_MS = 60;
const lastTapped = new WeakMap<Page, string>();

/** Waits as a thumb would when the same key is tapped again. */
async function asAThumb(page: Page, key: string): Promise<void> {
  if (lastTapped.get(page) === key) await page.waitForTimeout(THUMB_MS);
  lastTapped.set(page, key);
}

/** Taps the digits of a bib on the pad, or any keys of it, by their names. */
export async function tapKeys(page: Page, ...names: string[]): Promise<void> {
  for (const name of names) {
    await asAThumb(page, name);
    await page.getByRole('button', { name, exact: true }).tap();
  }
}

export async function tapFeet(page: Page, cell: string): Promise<void> {
  await asAThumb(page, cell);
  await page.locator(`[data-cell="${cell}"]`).tap();
}
