import { expect, test, type Browser, type Page } from '@playwright/test';
import { axeFaults } from '../helpers/browser/axe-faults.ts';
import { knowDice } from '../helpers/browser/known-dice.ts';
import { seedRace } from '../helpers/browser/seed-race.ts';
import { rehearsalScript, type Passing } from '../../src/lib/practice/rehearsal-script.ts';
import type { FootClass } from '../../src/lib/records/foot.ts';

const SEED = 12;
const BEGUN = Date.parse('2031-05-03T08:00:00Z');
/** Who passes, as the screen draws it from the same seed: the bibs are the 600 of the invented race. */
const script = rehearsalScript({
  ...{ seed: SEED, perMinute: 20, pack: 1.5, seconds: 180 },
  bibs: Array.from({ length: 600 }, (_, i) => String(i + 1)),
});

/** A phone whose dice are known and whose clock stands still until the test moves it. */
async function phone(browser: Browser): Promise<Page> {
  const context = await browser.newContext({
    ...{ viewport: { width: 390, height: 844 }, hasTouch: true, timezoneId: 'UTC' },
  });
  const page = await context.newPage();
  await knowDice(page, SEED);
  await page.clock.install({ time: new Date(BEGUN - 60_000) });
  return page;
}

async function begin(page: Page): Promise<void> {
  await page.getByLabel('Observer').fill('K1');
  await page.getByLabel('Runners a minute').fill('20');
  await page.getByLabel('In packs of').fill('1.5');
  await page.clock.pauseAt(new Date(BEGUN));
  await page.getByRole('button', { name: 'Begin the rehearsal' }).tap();
  await expect(page.locator('.tally')).toBeVisible();
}

/** One thumb on the phone, and the clock it goes by. */
class Thumb {
  #at = 0;
  constructor(private readonly page: Page) {}

  /** Lets time pass until so many milliseconds from the beginning. */
  async waitUntil(ms: number): Promise<void> {
    if (ms <= this.#at) return;
    await this.page.clock.runFor(ms - this.#at);
    this.#at = ms;
  }

  async tap(...keys: string[]): Promise<void> {
    for (const key of keys) {
      const named = key.startsWith('@')
        ? this.page.locator(`[data-cell="${key.slice(1)}"]`)
        : key === 'Passed'
          ? this.page.locator('button', { hasText: key })
          : this.page.getByRole('button', { name: key, exact: true });
      await named.tap();
      await this.waitUntil(this.#at + 200);
    }
  }
}

const feet = ({ left, right }: Pick<Passing, 'left' | 'right'>): string[] =>
  left === right ? [`@both-${left}`] : [`@left-${left}`, `@right-${right}`];
const other = (foot: FootClass): FootClass => (foot === 'rearfoot' ? 'midfoot' : 'rearfoot');

test('a rehearsal by touch on a phone is scored against the script of who passed', async ({ browser }) => {
  const page = await phone(browser);
  await page.goto('/practice');
  await begin(page);
  const fits = await page.evaluate(() => {
    const tally = document.querySelector('.tally')!;
    return tally.scrollHeight <= tally.clientHeight && document.documentElement.scrollHeight <= innerHeight;
  });
  expect(fits).toBe(true);

  const thumb = new Thumb(page);
  const kept = async (n: number) => expect(page.locator('.tally')).toHaveAttribute('data-kept', String(n));
  // Runners with room behind them, so that whoever has a wrong bib is no other one.
  const apart = script.filter(({ atMs }, i) => (script[i + 1]?.atMs ?? Infinity) - atMs > 2500);
  const [plain, misread, nameless, slip, half, walked] = apart as [
    Passing,
    Passing,
    Passing,
    Passing,
    Passing,
    Passing,
  ];
  const passed = async ({ atMs }: Passing) => thumb.waitUntil(atMs + 300);
  await passed(plain);
  await thumb.tap(...plain.bib, ...feet(plain));
  await kept(1);
  await passed(misread);
  await thumb.tap(...'901', ...feet(misread));
  await kept(2);
  await passed(nameless);
  await thumb.tap('No bib', ...feet(nameless));
  await kept(3);
  await passed(slip);
  await thumb.tap(...slip.bib, `@left-${other(slip.left)}`, `@right-${slip.right}`);
  await kept(4);
  await passed(half);
  await thumb.tap(...half.bib, '@left-unseen', `@right-${half.right}`);
  await kept(5);
  await passed(walked);
  await thumb.tap(...walked.bib, 'Walking');
  await kept(6);
  const until = walked.atMs + 10_000;
  await thumb.waitUntil(until);
  await page.getByRole('button', { name: 'End' }).tap();

  // Counted from the script by hand: five were classed or looked at, one foot of one was wrong, one foot was not seen.
  const all = script.filter(({ atMs }) => atMs <= until);
  const classed = [plain, misread, nameless, slip];
  await expect(page.getByText(`4 runners of ${all.length} classed, 1 bib wrong, 1 foot wrong of 9.`)).toBeVisible();
  await expect(
    page.getByText(`Of ${all.length} runners who passed, ${all.length - 6} left no trace, 2 had a foot not seen.`),
  ).toBeVisible();
  await expect(page.getByText('Bibs: 4 right, 1 wrong, 1 tallied as no bib.')).toBeVisible();
  await expect(page.getByText(`901, was ${misread.bib}`)).toBeVisible();
  for (const [name, place] of [
    ['Alone', 'alone'],
    ['First of a pack', 'first'],
    ['Behind in a pack', 'behind'],
  ] as const) {
    const there = (runners: readonly Passing[]) => runners.filter((one) => one.place === place).length;
    const cells = page.getByRole('row', { name: new RegExp(`^${name}`) }).getByRole('cell');
    await expect(cells.nth(0)).toHaveText(String(there(all)));
    await expect(cells.nth(1)).toHaveText(String(there(classed)));
  }
  await page.clock.resume();
  expect(await axeFaults(page)).toEqual([]);
  await page.getByRole('button', { name: 'Back to Practice' }).tap();
  // What the plan can take stays on this device until it is erased; the practice race does not.
  await expect(page.getByText(`Last: K1 classed 4 of ${all.length} due`)).toBeVisible();
  await page.getByRole('button', { name: 'Erase this result' }).tap();
  await expect(page.getByText(/^Last: K1/)).toBeHidden();
  await page.getByRole('button', { name: 'Begin the rehearsal' }).tap();
  await expect(page.locator('.tally')).toBeVisible();
  expect(await axeFaults(page)).toEqual([]);
  await page.getByRole('button', { name: 'End' }).tap();
  await page.getByRole('button', { name: 'Back to Practice' }).tap();
  await page.getByRole('link', { name: 'Races' }).tap();
  await expect(page.getByText('None yet.')).toBeVisible();
  await page.context().close();
});

test('under every k-th a rehearsal says how many were due and how far the observer counted', async ({ browser }) => {
  const page = await phone(browser);
  await seedRace(page, {
    race: {
      ...{ id: '0b9a3f1e-55d1-4f0e-9a55-1f0c7f6f7a11', name: 'Quarry Ten (invented)', date: '2031-05-03' },
      checkpoints: [{ id: 'weir', name: 'Weir', km: 4 }],
      samplingRule: { kind: 'every', k: 3 },
    },
    startList: [],
    results: [],
    records: [],
  });
  await page.goto('/practice');
  await page.getByLabel('Bibs and rule as in').selectOption('Quarry Ten (invented)');
  await begin(page);
  const thumb = new Thumb(page);
  const [, , third] = script as [Passing, Passing, Passing];
  await thumb.waitUntil(third.atMs + 300);
  await thumb.tap('Passed', 'Passed', ...third.bib, ...feet(third));
  await expect(page.locator('.tally')).toHaveAttribute('data-kept', '3');
  const until = 45_000;
  await thumb.waitUntil(until);
  await page.getByRole('button', { name: 'End' }).tap();
  const all = script.filter(({ atMs }) => atMs <= until).length;
  const due = Math.floor(all / 3);
  await expect(page.getByText(`1 runner classed, ${due} due, 0 bibs wrong, 0 feet wrong of 2.`)).toBeVisible();
  await expect(page.getByText(`Every 3rd of ${all} runners is ${due}; your count came to 3.`)).toBeVisible();
  await expect(page.getByText('so nobody is called missed')).toBeVisible();
  await page.context().close();
});
