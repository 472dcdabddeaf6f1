import { expect, test, type Page } from '@playwright/test';
import { keptRows, openTally, TALLY_RACE, tapFeet, tapKeys, untilKept } from '../helpers/tally/tally-race.ts';

test.use({ hasTouch: true, viewport: { width: 390, height: 844 } });

/** Puts a database into the browser's storage as version 1 of its schema left it: six records, two of them handed in. */
async function putDatabaseOfVersion1(page: Page): Promise<void> {
  // A page of the same origin that does not open the database itself.
  await page.goto('/icon.svg');
  await page.evaluate(async (race) => {
    const opening = indexedDB.open('kerbside', 10);
    opening.onupgradeneeded = () => {
      const db = opening.result;
      db.createObjectStore('races', { keyPath: 'id' }).createIndex('openedAt', 'openedAt');
      for (const name of ['startLists', 'results', 'counters', 'hubLinks']) {
        db.createObjectStore(name, { keyPath: 'race' });
      }
      const records = db.createObjectStore('records', { keyPath: 'id' });
      records.createIndex('[race+seq]', ['race', 'seq']);
      records.createIndex('[race+waiting+seq]', ['race', 'waiting', 'seq']);
      records.createIndex('[race+bib]', ['race', 'bib']);
      records.createIndex('[race+subject]', ['race', 'subject']);
      const blocks = db.createObjectStore('blocks', { keyPath: ['race', 'block'] });
      blocks.createIndex('subjects', 'subjects', { multiEntry: true });
      db.createObjectStore('blockIds', { keyPath: ['race', 'block'] });
      db.createObjectStore('settings', { keyPath: 'key' });
    };
    await new Promise((resolve) => (opening.onsuccess = resolve));
    const writing = opening.result.transaction(['races', 'records', 'counters'], 'readwrite');
    const device = '01990000-0000-7000-8000-00000000abcd';
    const checkpoints = [{ id: 'at-10', name: 'Mill Bridge', km: 10 }];
    const setUp = { id: race, name: 'Mill Valley Ten (invented)', date: '2026-10-04', checkpoints };
    writing.objectStore('races').put({
      ...{ id: race, openedAt: 1 },
      race: { ...setUp, observers: [{ code: 'N4', checkpoint: 'at-10', side: 'left' }] },
    });
    const at = '2026-10-04T08:00:00.000Z';
    const id = (seq: number) => `01990000-0000-7000-8000-00000000000${seq}`;
    for (const [seq, waiting] of [1, 0, 1, 0, 1, 1].map((waiting, i) => [i + 1, waiting] as const)) {
      const made = { id: id(seq), race, observer: 'N4', device, seq, madeAt: at };
      const bib = String(100 + seq);
      const feet = { checkpoint: 'at-10', bib, left: 'rearfoot', right: 'rearfoot', method: 'live', observedAt: at };
      const record =
        seq === 6 ? { ...made, kind: 'withdrawal', target: id(5) } : { ...made, kind: 'sighting', ...feet };
      const found = seq === 6 ? { subject: id(5) } : { bib };
      writing.objectStore('records').put({ id: id(seq), race, seq, waiting, ...found, record });
    }
    writing.objectStore('counters').put({
      ...{ race, device, lastSeq: 6, tallied: 4, waiting: 4, savedSeq: 3, pulled: 0, blocks: 0 },
    });
    await new Promise((resolve) => (writing.oncomplete = resolve));
    opening.result.close();
  }, TALLY_RACE);
}

test('a device that has records of the storage’s first version goes on with all of them', async ({ page }) => {
  await putDatabaseOfVersion1(page);
  const before = await keptRows(page);
  await page.goto(`/races/${TALLY_RACE}/tally`);
  await page.getByRole('button', { name: /^N4/ }).click();
  await page.getByRole('button', { name: 'Start tallying' }).click();
  await expect(page.getByText('4 tallied')).toBeVisible();
  await expect(page.getByText('4 to hand in')).toBeVisible();
  await expect(page.getByRole('button', { name: /^Correct 104/ })).toBeVisible();
  await expect(page.getByRole('button', { name: /^Correct 105/ })).toHaveCount(0);
  await tapKeys(page, ...'107');
  await tapFeet(page, 'both-midfoot');
  await untilKept(page, 1);
  await expect(page.getByText('5 tallied')).toBeVisible();
  await expect(page.getByText('5 to hand in')).toBeVisible();
  const rows = await keptRows(page);
  expect(rows.map((row) => row.seq)).toEqual([1, 2, 3, 4, 5, 6, 7]);
  expect(rows.slice(0, 6).map((row) => row.record)).toEqual(before.map((row) => row.record));
  expect(rows.at(-1)?.record.device).toBe(before[0]?.record.device);
  const counters = await page.evaluate(async () => {
    const opening = indexedDB.open('kerbside');
    await new Promise((resolve) => (opening.onsuccess = resolve));
    const reading = opening.result.transaction('counters').objectStore('counters').getAll();
    await new Promise((resolve) => (reading.onsuccess = resolve));
    opening.result.close();
    return reading.result as { handedIn: number[][]; savedSeq: number }[];
  });
  expect(counters).toMatchObject([
    {
      handedIn: [
        [2, 2],
        [4, 4],
      ],
      savedSeq: 3,
    },
  ]);
});

test('a race that is erased in another tab takes no more records; what was tapped can still be saved', async ({
  page,
  context,
}) => {
  await openTally(page);
  await tapKeys(page, ...'511');
  await tapFeet(page, 'both-rearfoot');
  await untilKept(page, 1);
  const other = await context.newPage();
  await other.goto('/');
  // As erasing in another tab does, but without its news: the very moment before it arrives.
  await other.evaluate(async () => {
    const opening = indexedDB.open('kerbside');
    await new Promise((resolve) => (opening.onsuccess = resolve));
    const names = ['races', 'records', 'counters'];
    const writing = opening.result.transaction(names, 'readwrite');
    for (const name of names) writing.objectStore(name).clear();
    await new Promise((resolve) => (writing.oncomplete = resolve));
    opening.result.close();
  });
  await page.bringToFront();
  await tapKeys(page, ...'512');
  await tapFeet(page, 'both-rearfoot');
  await expect(page.getByRole('alert')).toContainText('was erased from this device');
  await expect(page.getByRole('alert')).toContainText('512 R·R');
  expect(await keptRows(page)).toEqual([]);
  const [download] = await Promise.all([
    page.waitForEvent('download'),
    page.getByRole('button', { name: 'Save as file' }).click(),
  ]);
  expect(download.suggestedFilename()).toMatch(/\.ndjson$/);
});
