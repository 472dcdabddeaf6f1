import { expect, test } from '@playwright/test';

test.use({ hasTouch: true, isMobile: true });

const SCREENS = ['setup', 'setup/briefing', 'handoff', 'check', 'findings', 'export'];

for (const [width, height] of [
  [390, 844],
  [740, 360],
] as const) {
  test(`at ${width} × ${height} no screen is wider than the phone, and the row of screens shows where one is`, async ({
    page,
  }) => {
    await page.setViewportSize({ width, height });
    await page.goto('/');
    await page.getByRole('button', { name: 'Open the demo race' }).tap();
    await page.waitForURL(/\/races\//);
    const race = /\/races\/[^/]+/.exec(page.url())![0];
    for (const screen of SCREENS) {
      await page.goto(`${race}/${screen}`);
      await page.getByRole('heading', { level: 1 }).waitFor();
      // Findings come section by section; the last one is the method.
      if (screen === 'findings') await page.locator('#methods').waitFor();
      expect(await page.evaluate(() => document.documentElement.scrollWidth - innerWidth), screen).toBeLessThanOrEqual(
        0,
      );
      if (screen.includes('/')) continue;
      // Counted once on Check; on other screens it comes later than the row and widens it.
      if (SCREENS.indexOf(screen) >= SCREENS.indexOf('check')) await page.getByText('open doubts').waitFor();
      const current = (await page.locator('nav a[aria-current="page"]').boundingBox())!;
      expect(current.x, screen).toBeGreaterThanOrEqual(0);
      expect(current.x + current.width, screen).toBeLessThanOrEqual(width);
    }
  });
}

test('the way back from Tally’s options stays in view on a phone held across', async ({ page }) => {
  await page.setViewportSize({ width: 740, height: 360 });
  await page.goto('/');
  await page.getByRole('button', { name: 'Open the demo race' }).tap();
  await page.waitForURL(/\/races\//);
  await page.goto(`${/\/races\/[^/]+/.exec(page.url())![0]}/tally`);
  await page.getByRole('button', { name: /^A1/ }).tap();
  await page.getByRole('button', { name: 'Start tallying' }).tap();
  await page.getByRole('button', { name: 'Station and options' }).tap();
  await page.getByRole('dialog').evaluate((dialog) => dialog.scrollTo(0, dialog.scrollHeight));
  expect(await page.getByRole('dialog').evaluate((dialog) => dialog.scrollTop)).toBeGreaterThan(0);
  await expect(page.getByRole('button', { name: 'Back to Tally' })).toBeInViewport({ ratio: 1 });
});
