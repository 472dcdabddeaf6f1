import { existsSync } from 'node:fs';

const PLACES = [
  process.env.CHROMIUM_PATH,
  // The same engine without the browser's own windows, each of which takes half a second: the tests take two thirds of the time.
  '/usr/bin/chromium-headless-shell',
  '/usr/bin/chromium',
  '/usr/bin/chromium-browser',
  '/usr/bin/google-chrome',
  '/Applications/Google Chrome.app/Contents/MacOS/Google Chrome',
  '/Applications/Chromium.app/Contents/MacOS/Chromium',
];

/** Where this machine keeps Chromium, or `undefined` when none is found. `CHROMIUM_PATH` comes first. */
export function chromiumPath() {
  return PLACES.find((path) => path && existsSync(path));
}
