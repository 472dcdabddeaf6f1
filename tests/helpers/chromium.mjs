import { existsSync } from 'node:fs';

const PLACES = [
  process.env.CHROMIUM_PATH,
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
