import { chromium } from '@playwright/test';
import { chromiumPath } from '../helpers/browser/chromium.mjs';
import { startHub } from '../helpers/hub/start-hub.mjs';
import { tapSteadily } from '../helpers/tally/tally-bench.ts';
import { openTally } from '../helpers/tally/tally-race.ts';

/** Two taps a second for ten minutes: every record there, in order. Throws otherwise. */
export default async function tallySoak() {
  const hub = await startHub({
    port: Number(process.env.KERBSIDE_TEST_PORT ?? 4373),
    key: 'soak-organiser-key-0123456',
  });
  const browser = await chromium.launch({ executablePath: chromiumPath(), args: ['--no-sandbox', '--disable-gpu'] });
  try {
    const page = await (await browser.newContext({ hasTouch: true })).newPage();
    await openTally(page, {}, hub.url);
    const steady = await tapSteadily(page, 2, 600);
    if (steady.kept !== steady.tapped || steady.outOfOrder)
      throw new Error(`lost or mixed up: ${JSON.stringify(steady)}`);
    return steady;
  } finally {
    await browser.close();
    await hub.end();
  }
}
