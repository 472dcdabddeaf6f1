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
  readonly fault?: string;
  /** How much of it is done, 0 to 1, while there is no answer yet. */
  readonly share?: number;
}

interface Waiting {
  readonly resolve: (view: CheckView | null) => void;
  readonly reject: (error: Error) => void;
  readonly onShare: (share: number) => void;
}

/**
 * Runs checks in a worker, one after the other. By hand: comlink is 1.9 kB gzipped more on the page and in the worker, and never settles a call whose
 * worker cannot start or is ended.
 */
export class CheckRunner {
  #worker = newWorker();
  readonly #waiting = new Map<number, Waiting>();
  #ask = 0;

  constructor() {
    this.#listen();
  }

  #listen(): void {
    this.#worker.onmessage = ({ data }: MessageEvent<CheckAnswer>) => {
      const waiting = this.#waiting.get(data.ask);
      if (data.share !== undefined) {
        waiting?.onShare(data.share);
        return;
      }
      this.#waiting.delete(data.ask);
      if (data.fault !== undefined) waiting?.reject(new Error(data.fault));
      else waiting?.resolve(data.view ?? null);
    };
    this.#worker.onerror = (event) => {
      for (const { reject } of this.#waiting.values()) reject(new Error(event.message || 'the check could not start'));
      this.#waiting.clear();
    };
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
      this.#waiting.set(ask, { resolve, reject, onShare });
      this.#worker.postMessage({ ask, raceId, countOnly } satisfies CheckAsked);
    });
  }

  /** Breaks off what runs; it is never answered. The next check can begin at once. */
  breakOff(): void {
    this.stop();
    this.#worker = newWorker();
    this.#listen();
  }

  stop(): void {
    this.#worker.terminate();
    this.#waiting.clear();
  }
}

const newWorker = () => new Worker(new URL('./check-worker.ts', import.meta.url), { type: 'module' });
