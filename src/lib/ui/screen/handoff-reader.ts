import type { TallyRecord } from '../../records/record.ts';
import type { ReadAnswer, ReadAsked } from './read-messages.ts';

/** Reads what came whole in a worker, which hands the records over in batches, each when it is asked for. */
export class HandoffReader {
  readonly #worker = new Worker(new URL('./read-worker.ts', import.meta.url), { type: 'module' });
  #waiting: { resolve: (answer: ReadAnswer) => void; reject: (error: Error) => void } | null = null;

  constructor() {
    this.#worker.onmessage = ({ data }: MessageEvent<ReadAnswer>) => {
      if (data.kind === 'failed') this.#waiting?.reject(new Error(data.message));
      else this.#waiting?.resolve(data);
    };
    this.#worker.onerror = (event) => {
      this.#waiting?.reject(new Error(event.message || 'the reading could not start'));
    };
  }

  /**
   * What the payload holds, or what is wrong with it.
   *
   * @param called what it is called in a sentence about a fault
   */
  read(payload: Uint8Array, called: string): Promise<ReadAnswer> {
    return this.#ask({ payload, called });
  }

  /** The records of what was read, batch after batch. */
  async *batches(): AsyncGenerator<readonly TallyRecord[]> {
    for (;;) {
      const answer = await this.#ask('next');
      if (answer.kind !== 'records' || answer.records.length === 0) return;
      yield answer.records;
    }
  }

  /** Ends the worker; what still waits for it is rejected. */
  stop(): void {
    this.#worker.terminate();
    this.#waiting?.reject(new Error('the reading was stopped'));
    this.#waiting = null;
  }

  #ask(asked: ReadAsked): Promise<ReadAnswer> {
    return new Promise((resolve, reject) => {
      this.#waiting = { resolve, reject };
      this.#worker.postMessage(asked);
    });
  }
}
