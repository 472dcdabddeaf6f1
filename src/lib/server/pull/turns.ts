import process from 'node:process';
import { setImmediate as loopGoesRound } from 'node:timers/promises';

/** Work that is ready takes so long together, milliseconds, before the process looks again for what else has come. */
const MOST_MS = 10;

/** Pieces that may be read at once where the database takes its time: the other connections are for those who hand in. */
const MOST_AT_ONCE = 3;

interface Waiting {
  readonly place: number;
  readonly begin: () => void;
}

/** Does a piece of work when its turn has come. */
export type TakeTurn = <T>(piece: () => Promise<T>) => Promise<T>;

/**
 * Lets pieces of work begin one after the other, and whoever asks for little in between. SQLite answers at once, and a
 * connection on a fast network takes what it is given: without turns, pages for fifty readers are made in one go.
 *
 * The page that was begun first goes first as long as its connection takes what it gets: fifty pages that grow side by
 * side take twice the memory.
 */
export class Turns {
  #waiting: Waiting[] = [];
  #places = 0;
  #underWay = 0;
  #giving = false;

  /** A place behind all that are there, for the pieces of one page. */
  line(): TakeTurn {
    this.#places += 1;
    const place = this.#places;
    return (piece) =>
      new Promise((resolve, reject) => {
        const begin = (): void => {
          this.#underWay += 1;
          piece()
            .then(resolve, reject)
            .finally(() => {
              this.#underWay -= 1;
              this.#goOn();
            });
        };
        this.#waiting.push({ place, begin });
        this.#goOn();
      });
  }

  get #hasTurn(): boolean {
    return this.#waiting.length > 0 && this.#underWay < MOST_AT_ONCE;
  }

  #goOn(): void {
    if (!this.#giving) void this.#give();
  }

  async #give(): Promise<void> {
    this.#giving = true;
    while (this.#hasTurn) {
      const until = performance.now() + MOST_MS;
      while (this.#hasTurn && performance.now() < until) {
        this.#takeFirst().begin();
        await untilItWaits();
      }
      await loopGoesRound();
    }
    this.#giving = false;
  }

  #takeFirst(): Waiting {
    const first = this.#waiting.reduce((a, b) => (b.place < a.place ? b : a));
    this.#waiting = this.#waiting.filter((one) => one !== first);
    return first;
  }
}

/** Resolves when all that could go on has: the work is done, or waits for a database or a connection. */
function untilItWaits(): Promise<void> {
  return new Promise((resolve) => process.nextTick(resolve));
}
