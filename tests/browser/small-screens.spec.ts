import { expect, test } from '@playwright/test';
import { demoRace } from '../../src/lib/demo/demo-race.ts';
import { seedRace } from '../helpers/browser/seed-race.ts';

test.use({ hasTouch: true, isMobile: true });

const demo = demoRace();
/** As long as names may be, and without a blank to break them at. */
const longName = (of: string) => of.repeat(20).slice(0, 120);
const race = {
  ...demo.race,
  name: longName('Hillfoot'),
  checkpoints: demo.race.checkpoints.map((one) => ({ ...one, name: longName(`Bridge${one.km}`) })),
};

const SCREENS = ['setup', 'setup/briefing', 'handoff', 'check', 'findings', 'export'];

for (const [width, height] of [
  [390, 844],
  [740, 360],
] as const) {
  test(`at ${width} × ${height} no screen is wider than the phone, and the row of screens shows where one is`, async ({
    page,
  }) => {
    await page.setViewportSize({ width, height });
    await seedRace(page, { ...demo, race });
    // Not the window's width: a phone widens that to whatever the page needs.
    const tooWide = () => page.evaluate((phone) => document.documentElement.scrollWidth - phone, width);
    const current = page.locator('nav a[aria-current="page"]');
    const inView = async () => {
      const box = (await current.boundingBox())!;
      return box.x >= 0 && box.x + box.width <= page.viewportSize()!.width;
    };
    await page.goto('/');
    await page.getByText('Erase from this device').tap();
    expect(await tooWide()).toBeLessThanOrEqual(0);
    await page.goto(`/races/${race.id}/tally`);
    await page.getByRole('button', { name: 'Start tallying' }).waitFor();
    expect(await tooWide()).toBeLessThanOrEqual(0);
    for (const screen of SCREENS) {
      await page.goto(`/races/${race.id}/${screen}`);
      await page.getByRole('heading', { level: 1 }).waitFor();
      // Findings come section by section; the last one is the method.
      if (screen === 'findings') await page.locator('#methods').waitFor();
      expect(await tooWide(), screen).toBeLessThanOrEqual(0);
      if (screen.includes('/')) continue;
      // Counted once on Check; on other screens it comes later than the row and widens it.
      if (SCREENS.indexOf(screen) >= SCREENS.indexOf('check')) await page.getByText('open doubts').waitFor();
      await expect.poll(inView, screen).toBe(true);
    }
    // The phone is turned.
    await page.setViewportSize({ width: height, height: width });
    await expect.poll(inView).toBe(true);
  });
}

test('the ways out of Tally’s options stand in view on a phone held across, the way back stays there', async ({
  page,
}) => {
  await page.setViewportSize({ width: 740, height: 360 });
  await page.goto('/');
  await page.getByRole('button', { name: 'Open the demo race' }).tap();
  await page.waitForURL(/\/races\//);
  await page.goto(`${/\/races\/[^/]+/.exec(page.url())![0]}/tally`);
  await page.getByRole('button', { name: /^A1/ }).tap();
  await page.getByRole('button', { name: 'Start tallying' }).tap();
  await page.getByRole('button', { name: 'Station and options' }).tap();
  await expect(page.getByRole('link', { name: 'Hand-off' })).toBeInViewport({ ratio: 1 });
  await page.getByRole('dialog').evaluate((dialog) => dialog.scrollTo(0, dialog.scrollHeight));
  expect(await page.getByRole('dialog').evaluate((dialog) => dialog.scrollTop)).toBeGreaterThan(0);
  await expect(page.getByRole('button', { name: 'Back to Tally' })).toBeInViewport({ ratio: 1 });

  await page.goto('/no-such-page');
  await page.getByRole('link', { name: 'Races on this device' }).tap();
  await expect(page.getByRole('heading', { name: 'Kerbside' })).toBeVisible();
});
