import { chromium, expect, test, type Page } from '@playwright/test';
import { chromiumPath } from '../helpers/browser/chromium.mjs';
import { killAfterTap } from '../helpers/tally/kill-after-tap.ts';
import { keptRows, openTally, TALLY_RACE, tapFeet, tapKeys, untilKept } from '../helpers/tally/tally-race.ts';

test.use({ hasTouch: true, viewport: { width: 390, height: 844 } });

test('two tabs tally at once: no record lost, no seq shared', async ({ page, context }) => {
  await openTally(page);
  const other = await context.newPage();
  await other.goto(`/races/${TALLY_RACE}/tally`);
  await other.getByRole('group', { name: 'Foot grid' }).waitFor();
  const tallyForty = (tab: Page, first: number) =>
    tab.evaluate(
      async ({ first }) => {
        const press = (name: string) => {
          const target = [...document.querySelectorAll('button')].find((b) => b.textContent.trim() === name)!;
          target.click();
        };
        for (let n = 0; n < 40; n += 1) {
          for (const digit of String(first + n)) press(digit);
          document.querySelector<HTMLElement>('[data-cell="both-rearfoot"]')!.click();
          await new Promise((resolve) => setTimeout(resolve, 10));
        }
      },
      { first },
    );
  await Promise.all([tallyForty(page, 1000), tallyForty(other, 2000)]);
  await Promise.all([untilKept(page, 40), untilKept(other, 40)]);
  const rows = await keptRows(page);
  expect(rows.map((row) => row.seq)).toEqual(Array.from({ length: 80 }, (_, i) => i + 1));
  const bibs = rows.map((row) => row.record.bib);
  expect(new Set(bibs).size).toBe(80);
  // Each tab's own runners in the order of its taps.
  for (const first of [1000, 2000]) {
    const own = bibs.filter((bib) => Math.floor(Number(bib) / 1000) * 1000 === first);
    expect(own).toEqual(Array.from({ length: 40 }, (_, n) => String(first + n)));
  }
  await expect(page.getByText('80 tallied')).toBeVisible();
});

test('a tap is written in a strict transaction, and its feedback waits for the commit', async ({ page }) => {
  await page.addInitScript(() => {
    const seen: { mode: string; durability: string }[] = [];
    Object.assign(window, { seenTransactions: seen });
    const original = IDBDatabase.prototype.transaction;
    IDBDatabase.prototype.transaction = function (...args) {
      const made = original.apply(this, args);
      if (made.mode === 'readwrite' && [...made.objectStoreNames].includes('records')) {
        seen.push({ mode: made.mode, durability: made.durability });
        made.addEventListener('complete', () => {
          const kept = document.querySelector('main')?.getAttribute('data-kept');
          Object.assign(window, { keptAtCommit: kept });
        });
      }
      return made;
    };
  });
  await openTally(page);
  await page.evaluate(() => ((window as unknown as { seenTransactions: object[] }).seenTransactions.length = 0));
  await tapKeys(page, ...'512');
  await tapFeet(page, 'both-rearfoot');
  await untilKept(page, 1);
  const read = (name: string) => page.evaluate((key) => (window as unknown as Record<string, unknown>)[key], name);
  expect(await read('seenTransactions')).toEqual([{ mode: 'readwrite', durability: 'strict' }]);
  expect(await read('keptAtCommit')).toBe('0');
});

test('taps while a write is under way are kept in their order', async ({ page }) => {
  await openTally(page);
  await page.evaluate(() => {
    const cell = document.querySelector<HTMLElement>('[data-cell="both-midfoot"]')!;
    const digit = (name: string) =>
      [...document.querySelectorAll('button')].find((b) => b.textContent.trim() === name)!;
    for (let n = 0; n < 50; n += 1) {
      for (const one of String(1000 + n)) digit(one).click();
      cell.click();
    }
  });
  await untilKept(page, 50);
  expect((await keptRows(page)).map((row) => row.record.bib)).toEqual(
    Array.from({ length: 50 }, (_, n) => String(1000 + n)),
  );
});

test('undo while the write is under way takes back that very runner, not the one before', async ({ page }) => {
  await openTally(page);
  await tapKeys(page, ...'511');
  await tapFeet(page, 'both-midfoot');
  await untilKept(page, 1);
  await tapKeys(page, ...'512');
  await page.evaluate(() => {
    const down = (target: Element) =>
      target.dispatchEvent(new PointerEvent('pointerdown', { bubbles: true, button: 0, pointerType: 'touch' }));
    down(document.querySelector('[data-cell="both-rearfoot"]')!);
    down([...document.querySelectorAll('button')].find((button) => button.textContent.includes('Undo'))!);
  });
  await untilKept(page, 3);
  const rows = await keptRows(page);
  expect(rows.map((row) => row.record.kind)).toEqual(['sighting', 'sighting', 'withdrawal']);
  expect(rows[1]?.record.bib).toBe('512');
  expect(rows[2]?.record.target).toBe(rows[1]?.id);
});

test('a full storage is said at once; the entry stays, goes into a file, and is kept when there is room', async ({
  page,
}) => {
  await openTally(page);
  await page.evaluate(() => {
    const add = IDBObjectStore.prototype.add;
    Object.assign(window, { makeRoom: () => (IDBObjectStore.prototype.add = add) });
    IDBObjectStore.prototype.add = () => {
      throw new DOMException('no room', 'QuotaExceededError');
    };
  });
  await tapKeys(page, ...'512');
  await tapFeet(page, 'both-rearfoot');
  await expect(page.getByRole('alert')).toContainText('Not kept: 1.');
  await expect(page.getByRole('alert')).toContainText('no room left');
  await tapKeys(page, ...'88');
  await tapFeet(page, 'both-forefoot');
  await expect(page.getByRole('alert')).toContainText('512 R·R · 88 F·F');
  expect(await keptRows(page)).toEqual([]);

  const [download] = await Promise.all([
    page.waitForEvent('download'),
    page.getByRole('button', { name: 'Save as file' }).click(),
  ]);
  const lines = (await (await import('node:fs/promises')).readFile((await download.path())!, 'utf8'))
    .trim()
    .split('\n');
  expect(lines).toHaveLength(3);
  const filed = lines
    .slice(1)
    .map((line) => JSON.parse(line) as { id: string; bib: string; seq: number; kind: string });
  expect(filed.map(({ bib, seq, kind }) => [bib, seq, kind])).toEqual([
    ['512', 1, 'sighting'],
    ['88', 2, 'sighting'],
  ]);

  await page.evaluate(() => (window as unknown as { makeRoom: () => void }).makeRoom());
  await page.getByRole('button', { name: 'Try again' }).click();
  await untilKept(page, 2);
  await expect(page.getByRole('alert')).toHaveCount(0);
  const kept = await keptRows(page);
  expect(kept.map((row) => row.record.bib)).toEqual(['512', '88']);
  // Should the file be handed in as well, no runner counts twice.
  expect(kept.map((row) => row.id)).toEqual(filed.map((record) => record.id));
});

test('plain http from another address still tallies and says what is missing', async ({ baseURL }) => {
  const browser = await chromium.launch({
    executablePath: chromiumPath()!,
    args: ['--no-sandbox', '--disable-gpu', '--host-resolver-rules=MAP hub.test 127.0.0.1'],
  });
  try {
    const page = await (await browser.newContext({ hasTouch: true })).newPage();
    const faults: string[] = [];
    page.on('pageerror', (error) => faults.push(error.message));
    await openTally(page, {}, `http://hub.test:${new URL(baseURL!).port}`);
    expect(await page.evaluate(() => isSecureContext)).toBe(false);
    await tapKeys(page, ...'512');
    await tapFeet(page, 'both-rearfoot');
    await untilKept(page, 1);
    await page.reload();
    await expect(page.getByText('1 tallied')).toBeVisible();
    await page.getByRole('button', { name: 'Station and options' }).tap();
    await expect(page.getByText('Opening or reloading the page without network.')).toBeVisible();
    expect(faults).toEqual([]);
  } finally {
    await browser.close();
  }
});

// Fifty kills are the long test `kill-after-tap`; a dozen fit here.
test('every confirmed record is there after the browser process is killed, and the line-up with it', async ({
  baseURL,
}) => {
  const lined: number[] = [];
  const outcomes = await killAfterTap({
    url: `${baseURL}/races/${TALLY_RACE}/tally`,
    times: 12,
    putRace: (page) => openTally(page, {}, baseURL),
    tally: async (page, n) => {
      await page.getByRole('group', { name: 'Foot grid' }).waitFor();
      await page.keyboard.type(`${1000 + n}s`);
      await untilKept(page, 1);
      await page.keyboard.type(String(2000 + n));
      await page.keyboard.press('Enter');
      await expect.poll(() => putDown(page)).toContain(`"${2000 + n}"`);
      if (n < 11) return;
      await page.keyboard.type('77q');
      await expect.poll(() => putDown(page)).toContain('"bib":"77"');
    },
    stored: async (page) => {
      await page.getByRole('group', { name: 'Foot grid' }).waitFor();
      lined.push(await page.getByRole('button', { name: /: next$/ }).count());
      if (lined.length === 12) {
        await expect(page.getByRole('group', { name: 'Whose feet come next' })).toContainText('and the right foot');
        await expect(page.getByRole('group', { name: 'Whose feet come next' }).locator('output')).toHaveText('77');
      }
      return (await keptRows(page)).length;
    },
  });
  expect(outcomes).toHaveLength(12);
  for (const { confirmed, found } of outcomes) expect(found).toBe(confirmed);
  expect(lined).toEqual(outcomes.map(({ confirmed }) => confirmed));
});

/** What the storage holds of taps that are no record yet. */
function putDown(page: Page): Promise<string> {
  return page.evaluate(async () => {
    const opening = indexedDB.open('kerbside');
    await new Promise((resolve) => (opening.onsuccess = resolve));
    const reading = opening.result.transaction('settings').objectStore('settings').getAll();
    await new Promise((resolve) => (reading.onsuccess = resolve));
    opening.result.close();
    const found = (reading.result as { key: string; value: unknown }[]).find(({ key }) =>
      key.startsWith('tally-progress'),
    );
    return String(found?.value ?? '');
  });
}

test('a second tab does not take up the line-up of the first, and both say the same of the storage', async ({
  page,
  context,
}) => {
  await openTally(page, { bibs: ['91', '92'] });
  await tapKeys(page, ...'91', 'Line up');
  await expect.poll(() => putDown(page)).toContain('"91"');
  const other = await context.newPage();
  await other.goto(`/races/${TALLY_RACE}/tally`);
  await other.getByRole('group', { name: 'Foot grid' }).waitFor();
  await expect(other.getByText('nobody lined up')).toBeVisible();
  const risk = page.getByText('at risk');
  expect(await other.getByText('at risk').count()).toBe(await risk.count());
  // The browser grants it in one tab: the other says so too.
  await page.evaluate(() => (navigator.storage.persisted = () => Promise.resolve(true)));
  await other.evaluate(() => {
    navigator.storage.persisted = () => Promise.resolve(true);
    new BroadcastChannel('kerbside-storage').postMessage('kept');
  });
  await expect(page.getByText('stored', { exact: true })).toBeVisible();
  await page.close();
  await expect.poll(() => other.evaluate(async () => (await navigator.locks.query()).held?.length)).toBe(1);
  await tapKeys(other, ...'92', 'Line up');
  await expect.poll(() => putDown(other)).toContain('"92"');
});
