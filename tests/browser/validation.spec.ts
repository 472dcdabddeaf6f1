import { expect, test, type Page } from '@playwright/test';
import type { TallyRecord } from '../../src/lib/records/record.ts';
import { axeFaults } from '../helpers/browser/axe-faults.ts';
import { seedRace } from '../helpers/browser/seed-race.ts';
import { smallRace } from '../helpers/records/small-race.ts';

test('Findings head Shares with the corrected figure, and draw whom to review', async ({ page }) => {
  await page.goto('/');
  await page.getByRole('button', { name: 'Open the demo race' }).click();
  await page.waitForURL(/\/findings/);
  const shares = page.locator('section#shares');

  // The demo race has clips of some runners: what observers misread is allowed for, and said first.
  await expect(shares.locator('p.lead')).toContainText(
    /landed on the rearfoot .*, allowing for what observers read wrongly: .* in 100, mostly \w+ as \w+\./,
  );
  // Beside it the pictures and their tables have both; in words it stands on paper.
  await page.emulateMedia({ media: 'print' });
  await expect(shares.getByText(/^As classified, not corrected:/)).toBeVisible();
  await page.emulateMedia({ media: 'screen' });
  await expect(shares.getByRole('img', { name: /intervals\. [A-Z].*called .*corrected/ })).toBeVisible();
  await expect(shares.getByRole('img', { name: /intervals\. midfoot.*called .*corrected/ })).toBeVisible();
  await shares.getByText('What the correction assumes').click();
  await expect(shares.getByText('the clip counts as the truth')).toBeVisible();

  await shares.getByText('Which runners to review on clip').click();
  const old = shares.getByRole('region', { name: 'Review at Old Pier' });
  await expect(old.getByText(/reviewed without having been drawn, before any draw: chosen by hand/)).toBeVisible();
  await old.getByRole('button', { name: /^Draw \d+ runners at Old Pier$/ }).click();
  // A draw is a record of its own, in the lead's name; asked once.
  await old.getByLabel('Your code as lead').fill('L1');
  await old.getByRole('button', { name: 'Decide in this name' }).click();
  await expect(old.getByText(/with seed \d+: \d+ of \d+ reviewed/)).toBeVisible();
  const bibs = old.getByRole('region', { name: 'Bibs to review at Old Pier' });
  const first = await bibs.getByRole('listitem').first().innerText();
  expect(await axeFaults(page)).toEqual([]);

  // Kept with the race: the same list after a reload, and no second draw takes its place unseen.
  await page.reload();
  await expect(bibs.getByRole('listitem').first()).toHaveText(first);
  await old.getByRole('button', { name: 'Draw again at Old Pier' }).click();
  await expect(old.getByText('Earlier draws (1) stay in Export.')).toBeVisible();

  // Whoever reviews has the list too, with the time at which each should pass, and no live class.
  await page.goto(page.url().replace(/findings.*/, 'clips'));
  await page.getByText(/^To review at Old Pier: \d+ of \d+ done$/).click();
  const toDo = page.getByRole('main').getByRole('listitem');
  await expect(toDo.first()).toContainText(/^\s*\S+\s+\d\d:\d\d:\d\d/);
  await expect(page.getByRole('main')).not.toContainText(/midfoot|forefoot/);
  expect(await axeFaults(page)).toEqual([]);

  // Check leads here too.
  await page.goto(page.url().replace(/clips.*/, 'check'));
  await page.getByRole('link', { name: 'Which runners to review on clip' }).click();
  await expect(old.getByText('Earlier draws (1) stay in Export.')).toBeInViewport({ timeout: 20_000 });

  await page.goto(page.url().replace(/findings.*/, 'export'));
  await page.getByRole('button', { name: 'Make the files' }).click();
  await expect(page.getByText('who was drawn for review on clip, when and by which seed')).toBeVisible({
    timeout: 60_000,
  });
});

/** Keeps settings in the device's database as the app does. */
const keepSettings = (page: Page, settings: { key: string; value: unknown }[]) =>
  page.evaluate(async (settings) => {
    const db = await new Promise<IDBDatabase>((resolve, reject) => {
      const request = indexedDB.open('kerbside');
      request.onsuccess = () => resolve(request.result);
      request.onerror = () => reject(request.error ?? new Error('no database'));
    });
    const transaction = db.transaction('settings', 'readwrite');
    for (const setting of settings) transaction.objectStore('settings').put(setting);
    await new Promise<void>((resolve) => (transaction.oncomplete = () => resolve()));
    db.close();
  }, settings);

/** Everything that the device's database holds, as text. */
const allThatIsKept = (page: Page): Promise<string> =>
  page.evaluate(async () => {
    const db = await new Promise<IDBDatabase>((resolve, reject) => {
      const request = indexedDB.open('kerbside');
      request.onsuccess = () => resolve(request.result);
      request.onerror = () => reject(request.error ?? new Error('no database'));
    });
    const names = [...db.objectStoreNames];
    const transaction = db.transaction(names, 'readonly');
    const all = names.map(
      (name) =>
        new Promise<string>((resolve, reject) => {
          const request = transaction.objectStore(name).getAll();
          request.onsuccess = () => resolve(`${name}: ${JSON.stringify(request.result)}`);
          request.onerror = () => reject(request.error ?? new Error('not read'));
        }),
    );
    const text = (await Promise.all(all)).join('\n');
    db.close();
    return text;
  });

test('who erases a race erases its draws, old ones too, and what was chosen for it; other races stay', async ({
  page,
}) => {
  const other = smallRace('Mill Summer Half', '2031-06-15', 20, 2);
  const doomed = smallRace('Ford Spring Run', '2031-03-02', 20, 1);
  await seedRace(page, { ...other, demo: false });
  const { id } = doomed.race;
  const draw: TallyRecord = {
    ...{ kind: 'draw', id: '01990000-0000-7000-8000-0000000000d1', race: id, device: 'laptop', seq: 1 },
    ...{ observer: 'L1', madeAt: '2031-03-03T09:00:00.000Z', checkpoint: 'ford', seed: 7 },
    ...{ bibs: ['101'], live: ['rearfoot'] },
  };
  await seedRace(page, { ...doomed, records: [...doomed.records, draw], demo: false });
  await keepSettings(page, [
    // As earlier versions kept draws.
    { key: `validation-draws:${id}`, value: [{ checkpoint: 'Ford', seed: 1, drawnAt: '2031-03-03', runners: [] }] },
    { key: `race-practice:${id}`, value: { from: 'none' } },
  ]);
  await page.goto('/season');
  await page.getByRole('checkbox', { name: /Ford Spring Run/ }).uncheck();
  await expect(page.getByRole('heading', { name: 'One race' })).toBeVisible();
  await expect.poll(() => allThatIsKept(page)).toContain(`season-race:${id}`);

  await page.goto('/');
  const card = page.getByRole('article', { name: 'Ford Spring Run' });
  await card.getByText('Erase from this device').click();
  await card.getByLabel(/Type the race’s name/).fill('Ford Spring Run');
  await card.getByRole('button', { name: 'Erase' }).click();
  await expect(card).toHaveCount(0);
  const kept = await allThatIsKept(page);
  expect(kept).not.toContain(id);
  expect(kept).not.toContain('Ford Spring Run');
  expect(kept).toContain(other.race.id);
});
