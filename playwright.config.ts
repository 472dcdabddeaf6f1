import { defineConfig } from '@playwright/test';
import { chromiumPath } from './tests/helpers/browser/chromium.mjs';

const PORT = Number(process.env['KERBSIDE_TEST_PORT'] ?? 4373);

/** Screens are tested in real Chromium against the built app and hub, started with an empty data folder. */
export default defineConfig({
  testDir: 'tests/browser',
  timeout: 180_000,
  // A busy machine may take far longer than five seconds to read a camera's codes or to draw a large race; a wrong page still fails.
  expect: { timeout: 20_000 },
  // Whoever fails is run once more and listed as flaky: one missed key on a machine that stalled is no reason to refuse a
  // change, and still stands in the log for somebody to mend.
  retries: 1,
  workers: 2,
  fullyParallel: false,
  reporter: [['list']],
  use: {
    baseURL: `http://127.0.0.1:${PORT}`,
    launchOptions: {
      executablePath: chromiumPath(),
      args: [
        '--no-sandbox',
        '--disable-gpu',
        '--disable-quic',
        '--no-first-run',
        '--disable-background-networking',
        '--disable-component-update',
        '--disable-sync',
      ],
    },
    // Keeping the whole app for offline use takes a second of a test's time: where that is the point, it is allowed.
    serviceWorkers: 'block',
    screenshot: 'only-on-failure',
    trace: 'off',
  },
  webServer: {
    command: 'node tests/helpers/browser/serve-for-tests.mjs',
    url: `http://127.0.0.1:${PORT}/api/v1/health`,
    reuseExistingServer: false,
    env: {
      PORT: String(PORT),
      HOST: '127.0.0.1',
      KERBSIDE_ORGANISER_KEY: 'test-organiser-key-0123456789',
      KERBSIDE_NAMES: 'hub.test',
    },
    timeout: 60_000,
  },
});
