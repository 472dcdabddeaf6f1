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
}

/** Runs checks in a worker, one after the other. */
export class CheckRunner {
  readonly #worker = new Worker(new URL('./check-worker.ts', import.meta.url), { type: 'module' });
  readonly #waiting = new Map<number, { resolve: (view: CheckView | null) => void; reject: (error: Error) => void }>();
  #ask = 0;

  constructor() {
    this.#worker.onmessage = ({ data }: MessageEvent<CheckAnswer>) => {
      const waiting = this.#waiting.get(data.ask);
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
  run(raceId: string): Promise<CheckView | null> {
    return this.#send(raceId, false);
  }

  /** Counts the open doubts, for `openDoubts` to know: hundreds of doubts need not be handed over for their number. */
  async count(raceId: string): Promise<void> {
    await this.#send(raceId, true);
  }

  #send(raceId: string, countOnly: boolean): Promise<CheckView | null> {
    this.#ask += 1;
    const ask = this.#ask;
    return new Promise((resolve, reject) => {
      this.#waiting.set(ask, { resolve, reject });
      this.#worker.postMessage({ ask, raceId, countOnly } satisfies CheckAsked);
    });
  }

  stop(): void {
    this.#worker.terminate();
    this.#waiting.clear();
  }
}
