import { expect, test, type Page } from '@playwright/test';
import { checkRace } from '../../src/lib/check/check-race.ts';
import { inputOfRecords } from '../../src/lib/check/input/input-of-records.ts';
import { viewOfRace } from '../../src/lib/sightings/race-view.ts';
import type { TallyRecord } from '../../src/lib/records/record.ts';
import { keptRows, openTally, tapKeys, TALLY_RACE } from '../helpers/tally/tally-race.ts';

test.use({ hasTouch: true, isMobile: true, viewport: { width: 390, height: 844 }, serviceWorkers: 'block' });

const CLASSES = ['rearfoot', 'rearfoot', 'rearfoot', 'midfoot', 'rearfoot', 'forefoot'] as const;
type FootClass = (typeof CLASSES)[number];
/** Invented runner n: a bib that begins no other, and the class of both feet. */
const bibOf = (n: number) => String(1001 + 7 * n);
const classOf = (n: number): FootClass => CLASSES[n % CLASSES.length]!;
const LIST = Array.from({ length: 100 }, (_, n) => bibOf(n));

/** A thumb on the page's own clock, so that a bounce is as quick as a bounce. */
class Thumb {
  constructor(private readonly page: Page) {}

  /** Taps keys of the pad by their words, or cells by `@both-rearfoot`; a number waits as many milliseconds. */
  async tap(...steps: (string | number)[]): Promise<void> {
    await this.page.evaluate(async (all) => {
      const pad = document.querySelector('[aria-label="Bib pad"]')!;
      const key = (word: string) =>
        word.startsWith('@')
          ? document.querySelector(`[data-cell="${word.slice(1)}"]`)!
          : [...pad.querySelectorAll('button')].find(
              (one) => one.querySelector('span')?.textContent === word || one.textContent.trim() === word,
            )!;
      for (const step of all) {
        if (typeof step === 'number') await new Promise((resolve) => setTimeout(resolve, step));
        else
          key(step).dispatchEvent(new PointerEvent('pointerdown', { bubbles: true, button: 0, pointerType: 'touch' }));
        // No two keys at once: what a key says may change with the one before.
        await new Promise((resolve) => setTimeout(resolve, 45));
      }
    }, steps);
  }

  digits(bib: string): (string | number)[] {
    return [...bib];
  }
}

const cell = (foot: FootClass) => `@both-${foot}`;

test('a hundred runners with fifteen planted slips: every record is right or asked about', async ({ page }) => {
  test.setTimeout(180_000);
  await openTally(page, { bibs: LIST });
  const thumb = new Thumb(page);
  const type = (n: number) => thumb.digits(bibOf(n));
  const plain = (n: number) => thumb.tap(...type(n), cell(classOf(n)));
  const slips = new Map<number, () => Promise<void>>();
  /** Runners whom a slip has tallied with the one before. */
  const done = new Set<number>();

  // 1–4: the class key bounces, so and so many milliseconds apart, with nobody lined up.
  for (const [n, apart] of [
    [3, 60],
    [11, 120],
    [19, 250],
    [27, 420],
  ] as const) {
    slips.set(n, () => thumb.tap(...type(n), cell(classOf(n)), apart - 45, cell(classOf(n))));
  }
  // 5: the same while three are lined up; the observer taps on, sees the question later and says no.
  slips.set(31, async () => {
    for (const n of [31, 32, 33]) await thumb.tap(...type(n), 'Line up');
    await thumb.tap(cell(classOf(31)), 100, cell(classOf(31)), 700, cell(classOf(32)), 700, cell(classOf(33)), 300);
    await thumb.tap('Not meant');
    done.add(32).add(33);
  });
  // 6: two lined-up runners of one class 250 ms apart. No slip: meant, and one tap says so.
  slips.set(36, async () => {
    for (const n of [36, 37]) await thumb.tap(...type(n), 'Line up');
    await thumb.tap(cell(classOf(36)), 205, cell(classOf(37)), 400, 'Meant');
    done.add(37);
  });
  // 7: the last digit bounces after the bib has saved itself onto feet that came first.
  slips.set(41, () => thumb.tap(cell(classOf(41)), ...type(41), 60, bibOf(41).at(-1)!));
  // 8: undo once too often, both steps redone.
  slips.set(45, async () => {
    await plain(45);
    await tapKeys(page, 'Undo');
    await page.getByRole('button', { name: `${bibOf(45)} redo` }).waitFor();
    await tapKeys(page, 'Undo');
    await page.getByRole('button', { name: `${bibOf(44)} redo` }).tap();
    await page.getByRole('button', { name: `${bibOf(45)} redo` }).tap();
    await expect(page.getByRole('button', { name: /redo$/ })).toHaveCount(0);
  });
  // 9: the page is reloaded with one foot tapped and one runner lined up.
  slips.set(50, async () => {
    await thumb.tap(...type(51), 'Line up', ...type(50), `@left-${classOf(50)}`, 400);
    await page.reload();
    await page.getByRole('button', { name: `${bibOf(51)}: next` }).waitFor();
    await thumb.tap(`@right-${classOf(50)}`, cell(classOf(51)));
    done.add(51);
  });
  // 10: a wrong but valid bib, found ten runners on and mended in the list of entries.
  slips.set(55, () => thumb.tap(...type(99), cell(classOf(55))));
  // 11: a wrong class, found late too.
  slips.set(58, () => thumb.tap(...type(58), '@both-unseen'));
  slips.set(66, async () => {
    await plain(66);
    await mend(page, bibOf(99), async (form) => form.getByLabel('Bib').fill(bibOf(55)));
    await mend(page, bibOf(58), async (form) => form.locator(`[data-cell="both-${classOf(58)}"]`).click());
    await page.getByRole('link', { name: 'Tally' }).click();
    await page.getByRole('group', { name: 'Foot grid' }).waitFor();
  });
  // 12: one digit misread: said on screen, tallied all the same, and asked about by Check.
  slips.set(70, () => thumb.tap(...`${bibOf(70).slice(0, -1)}0`, cell(classOf(70))));
  // 13: a runner tallied twice: asked about by Check.
  slips.set(75, async () => {
    await plain(75);
    await thumb.tap(400, ...type(75), cell('midfoot'));
  });
  // 14: *Passed* in place of *Walking*, taken back.
  slips.set(80, async () => {
    await thumb.tap(...type(80), 'Passed', 300);
    await tapKeys(page, 'Undo');
    await page.getByRole('button', { name: 'passed redo' }).waitFor();
    await plain(80);
  });
  // 15: *No bib* bounces; the next runner's feet come first.
  slips.set(85, () => thumb.tap(700, cell(classOf(85)), 'No bib', 80, 'No bib'));
  slips.set(86, () => thumb.tap(700, cell(classOf(86)), ...type(86)));

  for (let n = 0; n < 100; n += 1) {
    if (done.has(n)) continue;
    await (slips.get(n)?.() ?? plain(n));
  }
  await page.waitForTimeout(700);
  await expect(page.getByRole('button', { name: 'Bib OK' })).toBeVisible();

  const records = (await keptRows(page)).map(({ record }) => record as unknown as TallyRecord);
  const race = {
    ...{ id: TALLY_RACE, name: 'Mill Valley Ten (invented)', date: '2026-10-04' },
    checkpoints: [{ id: 'at-10', name: 'Mill Bridge 10', km: 10 }],
  };
  const view = viewOfRace(race, records);
  const standing = view.projection.sightings.filter(({ withdrawn }) => !withdrawn);
  const right = new Map<string, number>();
  const others: string[] = [];
  for (const { bib, left, right: other, record } of standing) {
    const n = bib === null ? -1 : LIST.indexOf(bib);
    if (n >= 0 && left === classOf(n) && other === left) right.set(bib!, (right.get(bib!) ?? 0) + 1);
    else others.push(record.id);
  }
  const startList = LIST.map((bib) => ({ bib }));
  const asked = new Set(checkRace(inputOfRecords(view, { startList, results: [] })).flatMap((doubt) => doubt.records));
  const nobody = standing.filter(({ bib }) => bib === null).map(({ record }) => record.id);
  // Whoever has no bib is not asked about: it is said in the record itself.
  expect(others.filter((id) => !asked.has(id) && !nobody.includes(id))).toEqual([]);
  expect(nobody).toHaveLength(1);
  const missing = LIST.filter((bib) => !right.has(bib));
  expect(missing).toEqual([bibOf(70), bibOf(85)]);
  expect(standing).toHaveLength(101);
});

/** Finds an entry by its bib in the list of all and changes it there. */
async function mend(
  page: Page,
  bib: string,
  change: (form: ReturnType<Page['getByRole']>) => Promise<void>,
): Promise<void> {
  if (!page.url().endsWith('/entries')) {
    await page.getByRole('button', { name: 'Station and options' }).tap();
    await page.getByRole('link', { name: 'All entries' }).tap();
  }
  await page.getByRole('searchbox').fill(bib);
  await page
    .getByRole('list', { name: 'Entries' })
    .getByRole('button', { name: new RegExp(`^${bib}`) })
    .click();
  const form = page.getByRole('region', { name: `Correct ${bib}` });
  await change(form);
  await form.getByRole('button', { name: 'Save' }).click();
  await expect(page.getByRole('status')).toContainText('Corrected');
}
