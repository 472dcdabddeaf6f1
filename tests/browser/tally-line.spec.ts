import { expect, test } from '@playwright/test';
import { PHONES_AND_TABLETS, SMALLEST } from '../helpers/tally/tally-layout.ts';
import { openTally, tapKeys } from '../helpers/tally/tally-race.ts';

test.use({ hasTouch: true, isMobile: true });

// WCAG 2.2, 2.5.5 (AAA): targets of 44 by 44 CSS pixels.
test('the keys of a lined-up bib are 44 by 44 with a gap between bibs, and each is a tap or a few away', async ({
  page,
}) => {
  const bibs = ['7', '17', '1703', '1704', '1705'];
  await openTally(page, { kms: [10, 20], bibs });
  for (const bib of bibs) await tapKeys(page, ...bib, 'Line up');
  const row = page.getByRole('list', { name: 'Lined-up bibs' });
  const further = page.getByRole('button', { name: 'Show further lined-up bibs' });
  for (const [width, height] of [...PHONES_AND_TABLETS, ...SMALLEST]) {
    const where = `${width} × ${height}`;
    await page.setViewportSize({ width, height });
    const [smallest, gap] = await row.evaluate((list) => {
      const sides = [...list.querySelectorAll('button')].map((node) => node.getBoundingClientRect());
      const chips = [...list.children].map((node) => node.getBoundingClientRect());
      const gaps = chips.slice(1).map((box, i) => box.left - chips[i]!.right);
      return [Math.min(...sides.flatMap((box) => [box.width, box.height])), Math.min(...gaps)];
    });
    expect(smallest, where).toBeGreaterThanOrEqual(44);
    expect(gap, where).toBeGreaterThanOrEqual(6);
    await row.evaluate((list) => list.scrollTo(0, 0));
    const last = row.getByRole('button', { name: `Drop ${bibs.at(-1)}` });
    const inView = () =>
      last.evaluate((node) => {
        const list = node.closest('ul')!.getBoundingClientRect();
        return node.getBoundingClientRect().right <= list.right + 1;
      });
    for (let taps = 0; taps < 6 && !(await inView()); taps += 1) await further.tap();
    expect(await inView(), where).toBe(true);
  }
});
