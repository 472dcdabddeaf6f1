import { keepCheckCount } from '../../store/race/check-count.ts';
import type { KerbsideDatabase } from '../../store/database.ts';
import { openDoor } from '../store-door/open-door.ts';
import type { CheckView } from './check-from-store.ts';

export interface CheckAsked {
  readonly ask: number;
  readonly raceId: string;
  /** Only the number of open doubts is wanted, and kept for the next to ask. */
  readonly countOnly: boolean;
}

export interface CheckAnswer {
  readonly ask: number;
  readonly view?: CheckView | null;
  /** How many doubts are open, and what that rests on; missing when the race is not known. */
  readonly counted?: { readonly open: number; readonly basis: string };
  readonly fault?: string;
  /** How much of it is done, 0 to 1, while there is no answer yet. */
  readonly share?: number;
}

interface Waiting {
  readonly raceId: string;
  readonly resolve: (view: CheckView | null) => void;
  readonly reject: (error: Error) => void;
  readonly onShare: (share: number) => void;
}

/**
 * Runs checks in a worker, one after the other. By hand: comlink is 1.9 kB gzipped more on the page and in the worker, and never settles a call whose
 * worker cannot start or is ended.
 */
export class CheckRunner {
  readonly #db: KerbsideDatabase;
  #worker = newWorker();
  #end: () => void;
  readonly #waiting = new Map<number, Waiting>();
  #ask = 0;
  /** What was asked up to here is answered no more. */
  #brokenOff = 0;

  /** @param db the device's database */
  constructor(db: KerbsideDatabase) {
    this.#db = db;
    this.#end = this.#listen();
  }

  #listen(): () => void {
    this.#worker.onmessage = ({ data }: MessageEvent<CheckAnswer>) => {
      const waiting = this.#waiting.get(data.ask);
      if (data.share !== undefined) {
        waiting?.onShare(data.share);
        return;
      }
      this.#waiting.delete(data.ask);
      if (data.fault !== undefined) waiting?.reject(new Error(data.fault));
      else if (waiting) void this.#keep(data, waiting);
    };
    this.#worker.onerror = (event) => {
      for (const { reject } of this.#waiting.values()) reject(new Error(event.message || 'the check could not start'));
      this.#waiting.clear();
    };
    return openDoor(this.#db, this.#worker);
  }

  async #keep({ ask, view, counted }: CheckAnswer, { raceId, resolve }: Waiting): Promise<void> {
    // A device that keeps nothing more can still be shown what was found.
    if (counted) await keepCheckCount(this.#db, raceId, counted.open, counted.basis).catch(() => undefined);
    if (ask > this.#brokenOff) resolve(view ?? null);
  }

  /** The doubts and decisions of a race as this device holds it now; `null` when it does not know the race. */
  run(raceId: string, onShare: (share: number) => void = () => undefined): Promise<CheckView | null> {
    return this.#send(raceId, false, onShare);
  }

  /** Counts the open doubts, for `openDoubts` to know: hundreds of doubts need not be handed over for their number. */
  async count(raceId: string): Promise<void> {
    await this.#send(raceId, true, () => undefined);
  }

  #send(raceId: string, countOnly: boolean, onShare: (share: number) => void): Promise<CheckView | null> {
    this.#ask += 1;
    const ask = this.#ask;
    return new Promise((resolve, reject) => {
      this.#waiting.set(ask, { raceId, resolve, reject, onShare });
      this.#worker.postMessage({ ask, raceId, countOnly } satisfies CheckAsked);
    });
  }

  /** Breaks off what runs; it is never answered. The next check can begin at once. */
  breakOff(): void {
    this.stop();
    this.#worker = newWorker();
    this.#end = this.#listen();
  }

  stop(): void {
    this.#end();
    this.#brokenOff = this.#ask;
    this.#waiting.clear();
  }
}

const newWorker = () => new Worker(new URL('./check-worker.ts', import.meta.url), { type: 'module' });
