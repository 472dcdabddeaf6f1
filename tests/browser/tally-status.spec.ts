import { expect, test, type Page } from '@playwright/test';
import { PHONES_AND_TABLETS, SMALLEST, ZOOMED } from '../helpers/tally/tally-layout.ts';
import { openTally } from '../helpers/tally/tally-race.ts';

test.use({ hasTouch: true, isMobile: true });

/** The words of the status strip that are within it, in the order of reading. */
function wordsInView(page: Page): Promise<string[]> {
  return page.locator('.counts').evaluate((strip) => {
    const inside = (box: DOMRect, around: DOMRect) =>
      box.bottom <= around.bottom + 1 && box.right <= around.right + 0.5 && box.width > 0;
    return [...strip.children]
      .map((word) => ({ text: word.textContent, box: word.getBoundingClientRect() }))
      .filter(({ box }) => inside(box, strip.getBoundingClientRect()))
      .sort((a, b) => a.box.top - b.box.top || a.box.left - b.box.left)
      .map(({ text }) => text);
  });
}

test('what warns stands first in the status strip and is in view at every size, however many were tallied', async ({
  page,
}) => {
  // A browser that neither keeps the screen awake nor promises to keep what is stored.
  await page.addInitScript(() => Reflect.deleteProperty(Navigator.prototype, 'wakeLock'));
  await openTally(page);
  // Only the room that the figures take matters here.
  await page.locator('.counts b').evaluateAll((figures) => figures.forEach((figure) => (figure.textContent = '1234')));
  for (const [width, height] of [...PHONES_AND_TABLETS, ...SMALLEST, ...ZOOMED]) {
    await page.setViewportSize({ width, height });
    const words = await wordsInView(page);
    expect(words.slice(0, 3), `${width} × ${height}`).toEqual(['at risk', 'may sleep', '1234 tallied']);
    if (height > width && width >= 360) expect(words, `${width} × ${height}`).toContain('1234 to hand in');
  }
});
