import { expect, test, type Page } from '@playwright/test';
import { keptRows, openTally, tapFeet, tapKeys, untilKept } from '../helpers/tally/tally-race.ts';

const BIBS = ['91', '92', '93', '94', '195', '96', '303'];

test.use({ hasTouch: true, isMobile: true, viewport: { width: 390, height: 844 }, serviceWorkers: 'block' });

const field = (page: Page) => page.getByRole('group', { name: 'Whose feet come next' });
const classes = async (page: Page) =>
  (await keptRows(page)).map(({ record }) => `${record.bib ?? '-'} ${record.left?.[0]}${record.right?.[0]}`);

/** One key, tapped twice so many milliseconds apart, by the page's own clock. */
async function tapTwice(page: Page, selector: string, apartMs: number): Promise<void> {
  await page.evaluate(
    async ({ selector, apartMs }) => {
      const down = () =>
        document
          .querySelector(selector)!
          .dispatchEvent(new PointerEvent('pointerdown', { bubbles: true, button: 0, pointerType: 'touch' }));
      down();
      await new Promise((resolve) => setTimeout(resolve, apartMs));
      down();
    },
    { selector, apartMs },
  );
}
const RR = '[data-cell="both-rearfoot"]';

test('a key that bounces shifts nobody: what was tapped twice is shown and asked about', async ({ page }) => {
  await openTally(page, { bibs: BIBS });
  await tapKeys(page, ...'91');
  await tapTwice(page, RR, 120);
  await untilKept(page, 1);
  await expect(field(page)).toContainText('R·R tapped twice. For the next runner too?');
  await expect(field(page).locator('output')).toHaveText('R·R ?');
  for (const [bib, cell] of [
    ['92', 'both-forefoot'],
    ['93', 'both-midfoot'],
    ['94', 'both-rearfoot'],
    ['195', 'both-forefoot'],
    ['96', 'both-midfoot'],
  ] as const) {
    await tapKeys(page, ...bib);
    await tapFeet(page, cell);
  }
  await untilKept(page, 6);
  expect(await classes(page)).toEqual(['91 rr', '92 ff', '93 mm', '94 rr', '195 ff', '96 mm']);
  await expect(page.getByRole('button', { name: 'Bib OK' })).toBeVisible();
});

test('with runners lined up a repeat waits for one tap that says whether it was meant, and what follows waits with it', async ({
  page,
}) => {
  await openTally(page, { bibs: BIBS });
  for (const bib of ['91', '92', '93', '94']) await tapKeys(page, ...bib, 'Line up');
  await tapTwice(page, RR, 250);
  await untilKept(page, 1);
  await expect(field(page)).toContainText('For 92 too?');
  await tapFeet(page, 'both-forefoot');
  await expect(field(page)).toContainText('F·F waits');
  await tapKeys(page, 'Meant');
  await untilKept(page, 3);
  expect(await classes(page)).toEqual(['91 rr', '92 rr', '93 ff']);

  await page.waitForTimeout(650);
  await tapTwice(page, RR, 90);
  await untilKept(page, 4);
  await tapKeys(page, 'Not meant');
  await expect(page.getByRole('button', { name: 'Not meant' })).toHaveCount(0);
  expect(await classes(page)).toEqual(['91 rr', '92 rr', '93 ff', '94 rr']);
});

test('places apart: the choice sticks over runners and a reload, and each entry names its place', async ({ page }) => {
  await openTally(page, { bibs: BIBS, kms: [5, 30], places: 'places apart' });
  await tapKeys(page, ...'91');
  await tapFeet(page, 'both-rearfoot');
  await untilKept(page, 1);
  await expect(field(page)).toContainText('✓ kept: 91, both rearfoot, km 5');
  await page.getByRole('button', { name: 'Mill Bridge 30, km 30' }).tap();
  for (const [n, bib] of ['92', '91', '93'].entries()) {
    await tapKeys(page, ...bib);
    await tapFeet(page, 'both-midfoot');
    await untilKept(page, n + 2);
  }
  await expect(page.locator('[aria-hidden] > span[data-place]')).toHaveAttribute('data-place', 'km 30');
  await page.reload();
  await tapKeys(page, ...'94');
  await tapFeet(page, 'both-forefoot');
  await untilKept(page, 1);
  expect((await keptRows(page)).map(({ record }) => record.checkpoint)).toEqual([
    ...['at-5', 'at-30', 'at-30', 'at-30', 'at-30'],
  ]);
  await expect(page.getByRole('list', { name: 'The last five, newest first' })).toContainText(/94\s*F·F\s*km 30/);
});

test('who was let pass is a fact of its own, out of the last five; the k-th cannot be missed', async ({ page }) => {
  await openTally(page, { bibs: BIBS, samplingRule: { kind: 'every', k: 3 } });
  const passed = page.getByRole('button', { name: /^Passed/ });
  await passed.tap();
  await untilKept(page, 1);
  await passed.tap();
  await untilKept(page, 2);
  await expect(field(page)).toContainText('class this one');
  await expect(page.getByText('Tallied runners appear here')).toBeVisible();
  await tapKeys(page, ...'91');
  await tapFeet(page, 'both-unseen');
  await untilKept(page, 3);
  await expect(field(page)).not.toContainText('class this one');
  await expect(page.getByRole('button', { name: 'Passed, 1 of 3, not classed' })).toBeVisible();
  const rows = (await keptRows(page)).map(({ record }) => [record.bib, (record as { passed?: boolean }).passed]);
  expect(rows).toEqual([
    [null, true],
    [null, true],
    ['91', undefined],
  ]);
  await tapKeys(page, 'Undo', 'Undo');
  await untilKept(page, 5);
  await expect(page.getByRole('button', { name: 'passed redo' })).toBeVisible();
});

test('*Passed* that bounces is counted, said, and taken back by one tap', async ({ page }) => {
  await openTally(page, { bibs: BIBS, samplingRule: { kind: 'every', k: 4 } });
  await tapTwice(page, '.key.passed', 120);
  await untilKept(page, 2);
  await expect(field(page)).toContainText('passed 2 in a row. One too many? Undo');
  await tapKeys(page, 'Undo');
  await untilKept(page, 3);
  await expect(page.getByRole('button', { name: 'Passed, 2 of 4, not classed' })).toBeVisible();
  await expect(field(page)).not.toContainText('in a row');
});

test('every step back can be redone, the last one first', async ({ page }) => {
  await openTally(page, { bibs: BIBS });
  for (const [n, bib] of ['91', '92', '93'].entries()) {
    await tapKeys(page, ...bib);
    await tapFeet(page, 'both-midfoot');
    await untilKept(page, n + 1);
  }
  const last = page.getByRole('list', { name: 'The last five, newest first' });
  await tapKeys(page, 'Undo');
  await untilKept(page, 4);
  await tapKeys(page, 'Undo');
  await untilKept(page, 5);
  await expect(page.getByText('1 tallied')).toBeVisible();
  await page.getByRole('button', { name: '92 redo' }).tap();
  await untilKept(page, 6);
  await page.getByRole('button', { name: '93 redo' }).tap();
  await untilKept(page, 7);
  await expect(page.getByText('3 tallied')).toBeVisible();
  await expect(last.getByRole('button')).toHaveText([/^93/, /^92/, /^91/]);
});

test('turning the grid is asked about; cards read as the grid does', async ({ page }) => {
  await openTally(page, { bibs: BIBS });
  await tapKeys(page, ...'91');
  await tapFeet(page, 'left-midfoot');
  await tapFeet(page, 'right-unseen');
  await untilKept(page, 1);
  const card = page.getByRole('list', { name: 'The last five, newest first' }).getByRole('button');
  await expect(card).toContainText('M·–');
  await expect(page.getByRole('group', { name: 'Bib pad' })).not.toContainText('⇄');
  const firstHead = page.getByRole('group', { name: 'Foot grid' }).locator('.head').first();
  await page.getByRole('button', { name: 'Station and options' }).tap();
  await page.getByRole('button', { name: 'Turn the grid' }).tap();
  await expect(firstHead).toContainText('Left');
  await page.getByRole('button', { name: 'Yes, runners come towards me now' }).tap();
  await page.getByRole('button', { name: 'Back to Tally' }).tap();
  await expect(firstHead).toContainText('Right');
  await expect(card).toContainText('–·M');
  await expect(card).toHaveAccessibleName(/left midfoot, right not seen/);
});

test('a reload keeps the line-up, the half-entered runner and an open question', async ({ page }) => {
  await openTally(page, { bibs: BIBS });
  for (const bib of ['91', '92', '93']) await tapKeys(page, ...bib, 'Line up');
  await tapTwice(page, RR, 200);
  await untilKept(page, 1);
  await tapKeys(page, ...'19');
  await page.reload();
  await expect(field(page)).toContainText('For 92 too?');
  await expect(page.getByRole('button', { name: '92: next' })).toBeVisible();
  await tapKeys(page, 'Not meant', '5');
  await expect(field(page).locator('output')).toHaveText('195');
  await tapFeet(page, 'left-midfoot');
  await page.reload();
  await tapFeet(page, 'right-midfoot');
  await untilKept(page, 1);
  expect(await classes(page)).toEqual(['91 rr', '195 mm']);
});

test('Enter completes the bib, wherever Tab has led before', async ({ page }) => {
  await openTally(page, { bibs: BIBS });
  await page.locator('[data-cell="both-forefoot"]').focus();
  await page.keyboard.type('303');
  await page.keyboard.press('Enter');
  await expect(page.getByRole('button', { name: '303: next' })).toBeVisible();
  await page.keyboard.type('s');
  await untilKept(page, 1);
  expect(await classes(page)).toEqual(['303 mm']);
});

test('leaving Tally right after a tap throws nothing', async ({ page }) => {
  const faults: string[] = [];
  page.on('pageerror', (error) => faults.push(error.message));
  await openTally(page, { bibs: BIBS });
  await tapKeys(page, ...'91');
  await page.evaluate(() => {
    document
      .querySelector('[data-cell="both-rearfoot"]')!
      .dispatchEvent(new PointerEvent('pointerdown', { bubbles: true, button: 0, pointerType: 'touch' }));
    document.querySelector<HTMLElement>('[aria-label="Station and options"]')!.click();
  });
  await page.getByRole('link', { name: 'Hand-off' }).click();
  await expect(page.getByRole('heading', { name: /Hand-off/ }).first()).toBeVisible();
  await page.waitForTimeout(600);
  expect(faults).toEqual([]);
});
