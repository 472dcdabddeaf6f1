/**
 * What matters most of a race day, in the engines that tablets have beside Chromium: `npm run test:engines [ENGINE [SCENE
 * [KILLS]]]`. An engine that is not here is named and left out.
 */
import { networkInterfaces } from 'node:os';
import process from 'node:process';
import { startHub } from '../helpers/start-hub.mjs';
import { firefox } from './firefox.ts';
import { Page, type Engine } from './page.ts';
import { SCENES } from './scenes.ts';
import { webkit } from './webkit.ts';

const [engineWanted = '', sceneWanted = '', kills = '3'] = process.argv.slice(2);
const KEY = 'engines-organiser-key-0123456789';
const PORT = Number(process.env['KERBSIDE_TEST_PORT'] ?? 4573);
const lan = Object.values(networkInterfaces())
  .flat()
  .find((one) => one?.family === 'IPv4' && !one.internal)?.address;
const seconds = (from: number): string => ((Date.now() - from) / 1000).toFixed(1);

/** Runs one scene in a browser of its own; whether it passed. */
async function passes(engine: Engine, name: string, url: string): Promise<boolean> {
  const from = Date.now();
  const mortal = await startHub({ port: PORT + 1, key: KEY });
  let browser = await engine.start({ port: PORT + 2, display: PORT % 10_000 });
  try {
    await SCENES[name]!({
      page: new Page(browser.tab),
      url,
      plainUrl: lan === undefined ? null : `http://${lan}:${PORT}`,
      hub: mortal,
      key: KEY,
      kills: Number(kills),
      newTab: async () => new Page(await browser.tab.newTab()),
      reopened: async () => {
        browser = await browser.reopened();
        return new Page(browser.tab);
      },
    });
    console.log(`  ✓ ${engine.name}: ${name} (${seconds(from)} s)`);
    return true;
  } catch (error) {
    console.error(`  ✘ ${engine.name}: ${name} (${seconds(from)} s)\n${(error as Error).stack}`);
    return false;
  } finally {
    await browser.end();
    await mortal.end();
  }
}

const hub = await startHub({ port: PORT, key: KEY, env: { HOST: '0.0.0.0' } });
let failures = 0;
for (const engine of [webkit, firefox]) {
  if (!engine.name.toLowerCase().startsWith(engineWanted.toLowerCase())) continue;
  if (!engine.found()) {
    console.log(`${engine.name} is not here (Debian: ${engine.packages.join(', ')}); it is left out.`);
    continue;
  }
  const from = Date.now();
  for (const name of Object.keys(SCENES)) {
    if (name.includes(sceneWanted) && !(await passes(engine, name, hub.url))) failures += 1;
  }
  console.log(`${engine.name}: ${seconds(from)} s`);
}
await hub.end();
process.exit(failures > 0 ? 1 : 0);
