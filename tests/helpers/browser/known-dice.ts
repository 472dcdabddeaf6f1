import type { Page } from '@playwright/test';

/**
 * Makes the next sets and crowds that Practice draws known: wherever a page asks for four random bytes, as it does where a
 * drawing needs a seed, it gets this number. Ids take more bytes and stay random.
 *
 * @param seed 0 to 255
 */
export async function knowDice(page: Page, seed: number): Promise<void> {
  await page.addInitScript((known) => {
    const dice = crypto.getRandomValues.bind(crypto);
    crypto.getRandomValues = <T extends ArrayBufferView | null>(bytes: T): T => {
      if (!(bytes instanceof Uint8Array) || bytes.length !== 4) return dice(bytes as never) as T;
      bytes.set([0, 0, 0, known]);
      return bytes;
    };
  }, seed);
}
