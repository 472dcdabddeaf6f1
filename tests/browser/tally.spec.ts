import { expect, test } from '@playwright/test';
import { keptRows, openTally, TALLY_RACE, tapFeet, tapKeys, untilKept } from '../helpers/tally/tally-race.ts';

const BIBS = Array.from({ length: 90 }, (_, i) => String(1700 + i));
const CLASSES = ['rearfoot', 'midfoot', 'forefoot'];

test.use({ hasTouch: true, viewport: { width: 390, height: 844 }, serviceWorkers: 'allow' });

/** What the n-th runner of the test's own list does. */
const runner = (n: number) => {
  const bib = String(1700 + n);
  return { bib, left: CLASSES[n % 3]!, right: n % 10 === 0 ? CLASSES[(n + 1) % 3]! : CLASSES[n % 3]! };
};

test('sixty runners by touch: bib and feet in either order, lined up, walking, no bib; then offline', async ({
  page,
  context,
}) => {
  await openTally(page, { bibs: BIBS });
  for (let n = 0; n < 30; n += 1) {
    const { bib, left, right } = runner(n);
    const feet = left === right ? [`both-${left}`] : [`left-${left}`, `right-${right}`];
    // Every third runner: feet first, and the listed bib takes itself.
    if (n % 3 === 2) for (const cell of feet) await tapFeet(page, cell);
    await tapKeys(page, ...bib);
    if (n % 3 !== 2) for (const cell of feet) await tapFeet(page, cell);
  }
  for (let n = 30; n < 50; n += 5) {
    // A pack of five: lined up first, feet after.
    const pack = [0, 1, 2, 3, 4].map((k) => runner(n + k));
    for (const { bib } of pack) await tapKeys(page, ...bib, 'Line up');
    for (const { left, right } of pack) {
      if (left === right) await tapFeet(page, `both-${left}`);
      else {
        await tapFeet(page, `right-${right}`);
        await tapFeet(page, `left-${left}`);
      }
    }
  }
  for (let n = 50; n < 57; n += 1) {
    const { bib, left } = runner(n);
    await tapKeys(page, ...bib.slice(0, 3));
    await page
      .getByRole('button', { name: `Bib ${bib}`, exact: true })
      .or(page.getByRole('button', { name: bib.at(-1)!, exact: true }))
      .first()
      .tap();
    await tapFeet(page, `both-${left}`);
  }
  await tapKeys(page, ...'1757', 'Walking', 'No bib');
  await tapFeet(page, 'both-unseen');
  await tapKeys(page, 'Passed, not classed');
  await untilKept(page, 60);

  const rows = await keptRows(page);
  expect(rows.map((row) => row.seq)).toEqual(Array.from({ length: 60 }, (_, i) => i + 1));
  for (let n = 0; n < 50; n += 1) expect(rows[n]?.record).toMatchObject(runner(n));
  expect(rows.slice(50, 57).map((row) => row.record.bib)).toEqual(
    [50, 51, 52, 53, 54, 55, 56].map((n) => runner(n).bib),
  );
  expect(rows[57]?.record).toMatchObject({ bib: '1757', gait: 'walk', left: 'unseen', right: 'unseen' });
  expect(rows[58]?.record).toMatchObject({ bib: null, left: 'unseen' });
  expect(rows[59]?.record).toMatchObject({ bib: null, left: 'unseen', method: 'live' });
  await expect(page.getByText('60 tallied')).toBeVisible();
  await expect(page.getByText('60 to hand in')).toBeVisible();

  // No network, and the page cold from the service worker.
  await page.evaluate(() => navigator.serviceWorker.ready.then(() => undefined));
  await context.setOffline(true);
  await page.reload();
  await expect(page.getByText('60 tallied')).toBeVisible();
  await tapKeys(page, ...'1760');
  await tapFeet(page, 'both-rearfoot');
  await untilKept(page, 1);
  await tapKeys(page, ...'1761');
  await tapFeet(page, 'both-midfoot');
  await untilKept(page, 2);

  // Correct one in place, withdraw one, put it back.
  await page.getByRole('button', { name: /^Correct 1760/ }).tap();
  await tapFeet(page, 'left-forefoot');
  await page.getByRole('button', { name: 'Save', exact: true }).tap();
  await untilKept(page, 3);
  await expect(page.getByRole('button', { name: /^Correct 1760 .*, left forefoot, right rearfoot/ })).toBeVisible();
  await tapKeys(page, 'Undo');
  await untilKept(page, 4);
  await expect(page.getByText('61 tallied')).toBeVisible();
  await page.getByRole('button', { name: '1761 redo' }).tap();
  await untilKept(page, 5);
  await expect(page.getByText('62 tallied')).toBeVisible();
  await page.getByRole('button', { name: /^Correct 1761/ }).tap();
  await page.getByRole('button', { name: 'Withdraw' }).tap();
  await untilKept(page, 6);
  await expect(page.getByRole('button', { name: /^Correct 1761/ })).toHaveCount(0);
  const later = (await keptRows(page)).slice(60).map(({ record }) => record);
  expect(later.map((record) => record.kind)).toEqual([
    'sighting',
    'sighting',
    'correction',
    'withdrawal',
    'withdrawal',
    'withdrawal',
  ]);
  expect(later[2]).toMatchObject({ left: 'forefoot', right: 'rearfoot', gait: 'run' });

  // A deep link that this tab never opened, still offline.
  const other = await context.newPage();
  await other.goto(`/races/${TALLY_RACE}/tally`);
  await expect(other.getByText('61 tallied')).toBeVisible();
  await other.goto(`/races/${TALLY_RACE}/handoff`);
  await expect(other.getByRole('heading', { name: 'Hand-off' })).toBeVisible();
});

test('sixty runners by keyboard alone, help on ?', async ({ page }) => {
  await openTally(page, { bibs: BIBS });
  const place = { forefoot: 'qwe', midfoot: 'asd', rearfoot: 'zxc' } as Record<string, string>;
  for (let n = 0; n < 60; n += 1) {
    const { bib, left, right } = runner(n);
    if (n % 4 === 3) {
      // Feet first.
      await page.keyboard.type(`${place[left]![0]}${place[right]![2]}${bib}`);
    } else {
      await page.keyboard.type(bib);
      if (n % 4 === 2) await page.keyboard.press('Enter');
      await page.keyboard.type(left === right ? place[left]![1]! : `${place[left]![0]}${place[right]![2]}`);
    }
  }
  await untilKept(page, 60);
  const rows = await keptRows(page);
  rows.forEach((row, n) => expect(row.record).toMatchObject(runner(n)));
  await page.keyboard.press('Control+z');
  await untilKept(page, 61);
  await page.keyboard.press('Shift+Digit2');
  await page.keyboard.press('g');
  await page.keyboard.press('Enter');
  await untilKept(page, 62);
  expect((await keptRows(page)).at(-1)?.record).toMatchObject({ kind: 'correction', bib: null });
  await page.keyboard.press('?');
  await expect(page.getByRole('dialog').getByText('passed, not classed')).toBeVisible();
});

test('a station on a lapped course proposes the next km of a bib; one tap changes it', async ({ page }) => {
  await openTally(page, { kms: [10, 20, 30], bibs: BIBS, samplingRule: { kind: 'every', k: 3 } });
  for (const expected of [1, 2, 3]) {
    await tapKeys(page, ...'1712');
    await tapFeet(page, 'both-rearfoot');
    await untilKept(page, expected);
  }
  await tapKeys(page, ...'1713');
  await page.getByRole('button', { name: 'Mill Bridge 30, km 30' }).tap();
  await tapFeet(page, 'both-rearfoot');
  await untilKept(page, 4);
  const rows = await keptRows(page);
  expect(rows.map((row) => row.record.checkpoint)).toEqual(['at-10', 'at-20', 'at-30', 'at-30']);
  // The rule counts along: four have passed, the next is the second of its three.
  await expect(page.getByRole('button', { name: 'Passed, 2 of 3, not classed' })).toBeVisible();
  // Seen here before: said, never in the way.
  await tapKeys(page, ...'1713');
  await expect(page.getByText(/^seen \d+ s ago$/).first()).toBeVisible();
});

test('a bib that is nobody’s is said in amber with look-alikes, and taken all the same', async ({ page }) => {
  await openTally(page, { bibs: ['1734', '1739', 'A7'] });
  await tapKeys(page, ...'1784');
  await expect(page.getByText('not on the list').first()).toBeVisible();
  await expect(page.getByRole('button', { name: 'Bib 1734' })).toBeVisible();
  await tapFeet(page, 'both-midfoot');
  await untilKept(page, 1);
  await tapKeys(page, 'A', '7');
  await expect(page.getByText('✓ on the list').first()).toBeVisible();
  await tapFeet(page, 'both-midfoot');
  await untilKept(page, 2);
  expect((await keptRows(page)).map((row) => row.record.bib)).toEqual(['1784', 'A7']);
});
