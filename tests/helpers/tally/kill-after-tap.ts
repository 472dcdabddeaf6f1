import { spawn } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { chromium, type Page } from '@playwright/test';
import { chromiumPath } from '../browser/chromium.mjs';

const FLAGS = ['--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run', '--disable-background-networking'];

export interface KillJob {
  readonly url: string;
  readonly times: number;
  /** Makes the race on the first start. */
  readonly putRace: (page: Page) => Promise<void>;
  /** Tallies one runner; ends with the feedback of the last tap. */
  readonly tally: (page: Page, n: number) => Promise<void>;
  /** How many records the storage holds. */
  readonly stored: (page: Page) => Promise<number>;
}

/**
 * Tallies in a Chromium of its own and ends its process with SIGKILL right after the feedback of a tap, `times` times over
 * the same profile. Returns, for each kill, how many records had been confirmed on the screen until then and how many
 * the storage held on reopening.
 */
export async function killAfterTap({ url, times, putRace, tally, stored }: KillJob) {
  const profile = mkdtempSync(join(tmpdir(), 'kerbside-killed-'));
  const seen: { confirmed: number; found: number }[] = [];
  let confirmed = 0;
  try {
    for (let n = 0; n <= times; n += 1) {
      const { child, endpoint } = await startChromium(profile);
      const browser = await chromium.connectOverCDP(endpoint);
      const page = await browser.contexts()[0]!.newPage();
      await page.goto(url);
      if (n === 0) await putRace(page);
      else seen.push({ confirmed, found: await stored(page) });
      if (n < times) {
        await tally(page, n);
        confirmed += 1;
      }
      const gone = new Promise((resolve) => child.once('exit', resolve));
      process.kill(-child.pid!, 'SIGKILL');
      await gone;
      await browser.close().catch(() => undefined);
    }
    return seen;
  } finally {
    rmSync(profile, { recursive: true, force: true, maxRetries: 5 });
  }
}

/** Starts Chromium in a process group of its own, so that one signal ends all its processes, and nobody else's. */
async function startChromium(profile: string) {
  const child = spawn(
    chromiumPath() ?? 'chromium',
    ['--headless=new', '--remote-debugging-port=0', `--user-data-dir=${profile}`, ...FLAGS, 'about:blank'],
    { detached: true, stdio: ['ignore', 'ignore', 'pipe'] },
  );
  const endpoint = await new Promise<string>((resolve, reject) => {
    let text = '';
    child.stderr.on('data', (piece: Buffer) => {
      text += piece.toString();
      const found = /DevTools listening on (ws:\S+)/.exec(text)?.[1];
      if (found) resolve(found);
    });
    child.once('exit', () => reject(new Error(`Chromium did not start: ${text.slice(-400)}`)));
  });
  return { child, endpoint };
}
