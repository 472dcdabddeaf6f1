import { setImmediate as loopGoesRound } from 'node:timers/promises';
import process from 'node:process';

/** Work that is ready takes so long together, milliseconds, before the process looks again for what else has come. */
const MOST_MS = 10;

/**
 * Lets pieces of work begin one after the other, and whoever asks for little in between. SQLite answers at once, and a
 * connection on a fast network takes what it is given: without turns, pages for fifty readers are made in one go.
 */
export class Turns {
  readonly #waiting: (() => void)[] = [];
  #giving = false;

  /** Resolves when the caller may do its next piece. */
  take(): Promise<void> {
    return new Promise((begin) => {
      this.#waiting.push(begin);
      if (!this.#giving) void this.#give();
    });
  }

  async #give(): Promise<void> {
    this.#giving = true;
    while (this.#waiting.length > 0) {
      const until = performance.now() + MOST_MS;
      while (this.#waiting.length > 0 && performance.now() < until) {
        this.#waiting.shift()?.();
        await untilItWaits();
      }
      await loopGoesRound();
    }
    this.#giving = false;
  }
}

/** Resolves when all that could go on has: the work is done, or waits for a database or a connection. */
function untilItWaits(): Promise<void> {
  return new Promise((resolve) => process.nextTick(resolve));
}
