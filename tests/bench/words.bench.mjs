// How many words the demo's pages show to somebody on a phone and on a tablet: on opening and with every fold open, whole,
// by section, and without what stands in tables.
import { chromium } from '@playwright/test';
import { chromiumPath } from '../helpers/browser/chromium.mjs';
import { startHub } from '../helpers/hub/start-hub.mjs';

const SIZES = {
  phone: { width: 390, height: 844 },
  tablet: { width: 820, height: 1180 },
};

/** Runs in the page: the words that can be seen, and how many screens they fill. */
function counted() {
  // What only a screen reader hears, and the options of a closed list that are not chosen, nobody sees.
  const unseen = [...document.querySelectorAll('main .visually-hidden, main option:not(:checked)')];
  const inWords = (element) => (element.innerText.match(/\S+/g) ?? []).length;
  const words = (element) => {
    const less = unseen.filter(
      (one) => element.contains(one) && (one.closest('select') ?? one).checkVisibility({ contentVisibilityAuto: true }),
    );
    return inWords(element) - less.reduce((sum, one) => sum + inWords(one), 0);
  };
  const inTables = (element) =>
    [...element.querySelectorAll('table')]
      .filter((table) => table.checkVisibility({ contentVisibilityAuto: true }))
      .reduce((sum, table) => sum + words(table), 0);
  const main = document.querySelector('main');
  const sections = Object.fromEntries([...main.querySelectorAll('section[id]')].map((one) => [one.id, words(one)]));
  return {
    words: words(main),
    outsideTables: words(main) - inTables(main),
    screens: Number((document.documentElement.scrollHeight / innerHeight).toFixed(1)),
    ...(Object.keys(sections).length > 0 ? { sections } : {}),
  };
}

const unfold = () => document.querySelectorAll('main details').forEach((fold) => (fold.open = true));

async function pageWords(page, path, ready) {
  await page.goto(path);
  await page.locator(ready).first().waitFor();
  await page.waitForLoadState('networkidle');
  const opening = await page.evaluate(counted);
  await page.evaluate(unfold);
  // Some tables are made when their fold opens.
  await page.evaluate(() => new Promise((resolve) => setTimeout(resolve, 300)));
  return { opening, unfolded: await page.evaluate(counted) };
}

export default async function () {
  const hub = await startHub({
    port: Number(process.env['KERBSIDE_BENCH_PORT'] ?? 4479),
    key: 'bench-organiser-key-0123',
  });
  const browser = await chromium.launch({ executablePath: chromiumPath(), args: ['--no-sandbox', '--disable-gpu'] });
  const figures = {};
  try {
    for (const [size, viewport] of Object.entries(SIZES)) {
      const page = await browser.newPage({ viewport, baseURL: hub.url });
      await page.goto('/');
      await page.getByRole('button', { name: 'Open the demo race' }).click();
      await page.waitForURL(/\/findings/);
      const race = new URL(page.url()).pathname.replace(/\/findings.*/, '');
      figures[size] = {
        findings: await pageWords(page, `${race}/findings`, '#methods'),
        club: await pageWords(page, `${race}/findings/club`, 'main select'),
        export: await pageWords(page, `${race}/export`, 'main button'),
        season: await pageWords(page, '/season', 'section p.lead'),
      };
      await page.close();
    }
  } finally {
    await browser.close();
    await hub.end();
  }
  return figures;
}
