import { expect, test, type Page } from '@playwright/test';
import { keptCount, keptRows, openTally, tapFeet, tapKeys, untilKept } from '../helpers/tally/tally-race.ts';
import { middleOf, touches } from '../helpers/browser/touches.ts';

const BIBS = ['1701', '1702', '1703', '1704', '1705', '1706'];

test.use({ hasTouch: true, isMobile: true, viewport: { width: 390, height: 844 }, serviceWorkers: 'block' });

const lined = (page: Page) => page.getByRole('list', { name: 'Lined-up bibs' });
const linedBibs = async (page: Page) =>
  (
    await lined(page)
      .getByRole('button', { name: /: next$/ })
      .allTextContents()
  ).map((text) => text.trim());
const chip = (page: Page, bib: string) => lined(page).getByRole('button', { name: `${bib}: next` });
const cell = (page: Page, name: string) => page.locator(`[data-cell="${name}"]`);
const scale = (page: Page) => page.evaluate(() => visualViewport!.scale);

async function lineUp(page: Page, ...bibs: string[]): Promise<void> {
  for (const bib of bibs) await tapKeys(page, ...bib, 'Line up');
}

test('a swipe up or down or its cross drops a lined-up bib; a tap on another makes it first', async ({ page }) => {
  await openTally(page, { bibs: BIBS });
  await lineUp(page, '1701', '1702', '1703', '1704');
  const finger = await touches(page);

  await finger.down(await middleOf(chip(page, '1702')));
  await finger.move({ x: 3, y: -60 });
  await finger.up();
  await expect.poll(() => linedBibs(page)).toEqual(['1701', '1703', '1704']);

  await finger.down(await middleOf(chip(page, '1703')));
  await finger.move({ x: -3, y: 60 });
  await finger.up();
  await expect.poll(() => linedBibs(page)).toEqual(['1701', '1704']);

  await lineUp(page, '1705');
  await chip(page, '1705').tap();
  await expect.poll(() => linedBibs(page)).toEqual(['1705', '1701', '1704']);

  // A cold finger: slow, and it slides. Less than a swipe drops nobody.
  await finger.down(await middleOf(chip(page, '1704')));
  await page.waitForTimeout(800);
  await finger.move({ x: 2, y: -14 });
  await finger.up();
  await expect.poll(() => linedBibs(page)).toEqual(['1704', '1705', '1701']);
  await chip(page, '1705').tap();
  await expect.poll(() => linedBibs(page)).toEqual(['1705', '1704', '1701']);
  await expect(page.getByRole('group', { name: 'Whose feet come next' }).locator('output')).toHaveText('1705');

  await lined(page).getByRole('button', { name: 'Drop 1701' }).tap();
  await expect.poll(() => linedBibs(page)).toEqual(['1705', '1704']);
  // The cross is small, and a cold thumb misses: undo takes the drop back, no record.
  await tapKeys(page, 'Undo');
  await expect.poll(() => linedBibs(page)).toEqual(['1705', '1704', '1701']);
  await lined(page).getByRole('button', { name: 'Drop 1701' }).tap();
  await expect.poll(() => linedBibs(page)).toEqual(['1705', '1704']);
  await tapFeet(page, 'both-rearfoot');
  await tapFeet(page, 'both-midfoot');
  await untilKept(page, 2);
  expect((await keptRows(page)).map(({ record }) => record.bib)).toEqual(['1705', '1704']);
});

test('a swipe sideways moves a long row and drops nobody', async ({ page }) => {
  await openTally(page, { bibs: BIBS });
  await lineUp(page, ...BIBS);
  const finger = await touches(page);
  await lined(page).evaluate((row) => row.scrollTo(0, 0));
  await finger.down(await middleOf(chip(page, '1703')));
  await finger.move({ x: -180, y: 4 });
  await finger.up();
  await expect.poll(() => lined(page).evaluate((row) => row.scrollLeft)).toBeGreaterThan(60);
  expect(await linedBibs(page)).toEqual(BIBS);
  // The browser took that finger away to scroll. One that goes down and moves elsewhere has nothing to do with the row.
  await finger.down(await middleOf(page.getByRole('heading', { level: 1 })));
  await finger.move({ x: 2, y: 6 });
  await finger.up();
  expect(await linedBibs(page)).toEqual(BIBS);
  // A mouse scrolls nothing: its way is a swipe only up or down.
  const from = await middleOf(chip(page, '1705'));
  await page.mouse.move(from.x, from.y);
  await page.mouse.down();
  await page.mouse.move(from.x - 90, from.y + 4, { steps: 6 });
  await page.mouse.up();
  expect(await linedBibs(page)).toEqual(BIBS);
});

test('a thumb that rests on the row loses no bib to what the other thumb does', async ({ page }) => {
  await openTally(page, { bibs: BIBS });
  await lineUp(page, '1701', '1702', '1703', '1704');
  const thumbs = await touches(page);
  await thumbs.down(await middleOf(chip(page, '1703')));
  await thumbs.down(await middleOf(cell(page, 'both-rearfoot')));
  await thumbs.move({ x: 0, y: 0 }, { x: 3, y: 4 });
  await thumbs.up();
  await untilKept(page, 1);
  await expect.poll(() => linedBibs(page)).toEqual(['1703', '1702', '1704']);
});

test('two fingers that pinch on the foot grid tally nobody: what they tapped is taken back', async ({ page }) => {
  await openTally(page, { bibs: BIBS });
  await tapKeys(page, ...'1705');
  await tapFeet(page, 'both-midfoot');
  await untilKept(page, 1);
  await lineUp(page, '1701', '1702');
  const fingers = await touches(page);
  await fingers.down(await middleOf(cell(page, 'both-rearfoot')));
  await fingers.down(await middleOf(cell(page, 'both-forefoot')));
  await fingers.move({ x: 0, y: -60 }, { x: 0, y: 60 });
  await fingers.up();
  await untilKept(page, 5);
  const rows = await keptRows(page);
  expect(rows.map(({ record }) => [record.kind, record.bib])).toEqual([
    ['sighting', '1705'],
    ['sighting', '1701'],
    ['sighting', '1702'],
    ['withdrawal', undefined],
    ['withdrawal', undefined],
  ]);
  expect(rows.slice(3).map(({ record }) => record.target)).toEqual([rows[2]!.id, rows[1]!.id]);
  await expect(page.getByText('1 tallied')).toBeVisible();
  // The runner before them stands, and nothing waits for a bib.
  await expect(page.getByRole('button', { name: /^Correct 1705/ })).toBeVisible();
  await expect(page.locator('[data-cell][aria-pressed="true"]')).toHaveCount(0);
});

test('a pinch with no bib leaves no feet behind for the runner who comes next', async ({ page }) => {
  await openTally(page, { bibs: BIBS });
  await tapKeys(page, ...'1705');
  await tapFeet(page, 'both-midfoot');
  await untilKept(page, 1);
  const fingers = await touches(page);
  await fingers.down(await middleOf(cell(page, 'left-rearfoot')));
  await fingers.down(await middleOf(cell(page, 'both-forefoot')));
  await expect(cell(page, 'both-forefoot')).toHaveAttribute('aria-pressed', 'true');
  // Rearfoot stands below forefoot: apart.
  await fingers.move({ x: -30, y: 60 }, { x: 30, y: -60 });
  await fingers.up();
  await expect(page.locator('[data-cell][aria-pressed="true"]')).toHaveCount(0);
  expect(await keptCount(page)).toBe(1);
});

test('two thumbs at once are two taps', async ({ page }) => {
  await openTally(page, { bibs: BIBS });
  await tapKeys(page, ...'1701');
  const thumbs = await touches(page);
  await thumbs.down(await middleOf(cell(page, 'left-rearfoot')));
  await thumbs.down(await middleOf(cell(page, 'right-midfoot')));
  // Thumbs slide a little as they lift.
  await thumbs.move({ x: -6, y: 8 }, { x: 8, y: 6 });
  await thumbs.up();
  await untilKept(page, 1);
  expect((await keptRows(page))[0]?.record).toMatchObject({ bib: '1701', left: 'rearfoot', right: 'midfoot' });
});

test('a pinch beside the keys zooms; zoomed in, a finger moves the page over the keys and a tap still tallies', async ({
  page,
}) => {
  await openTally(page, { bibs: BIBS });
  await lineUp(page, '1701', '1702');
  const fingers = await touches(page);
  await fingers.down(await middleOf(page.getByRole('heading', { level: 1 })));
  await fingers.down(await middleOf(cell(page, 'both-forefoot')));
  await fingers.move({ x: 0, y: 0 }, { x: 0, y: 90 });
  await fingers.up();
  await expect.poll(() => scale(page)).toBeGreaterThan(1.2);
  // The finger that went down on a key was no tap.
  await untilKept(page, 2);
  expect((await keptRows(page)).map(({ record }) => record.kind)).toEqual(['sighting', 'withdrawal']);

  const top = () => page.evaluate(() => visualViewport!.offsetTop);
  const from = await top();
  await fingers.down((await keyInView(page)).place);
  await fingers.move({ x: 0, y: -50 });
  await fingers.up();
  await expect.poll(top).toBeGreaterThan(from + 5);
  expect(await keptCount(page)).toBe(2);

  // A tap on a page that still glides stops it, no more.
  let last = NaN;
  await expect.poll(async () => -last + (last = await top()), { intervals: [250] }).toBe(0);
  const key = await keyInView(page);
  await fingers.down(key.place);
  await fingers.up();
  await untilKept(page, 3);
  expect((await keptRows(page)).at(-1)?.record).toMatchObject({ bib: '1702', left: key.name.slice('both-'.length) });
});

/** A key of both feet that is on the screen of a zoomed page, and the lowest place where a finger finds it. */
function keyInView(page: Page) {
  return page.evaluate(() => {
    const { offsetLeft, offsetTop, width, height } = visualViewport!;
    for (let y = height - 20; y > 20; y -= 5) {
      const node = document.elementFromPoint(offsetLeft + width / 2, offsetTop + y);
      const name = node?.closest('[data-cell^="both-"]')?.getAttribute('data-cell');
      if (name) return { name, place: { x: width / 2, y } };
    }
    throw new Error('no key of both feet on the screen');
  });
}
