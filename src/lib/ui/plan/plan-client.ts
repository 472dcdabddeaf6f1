import type { PlanReply, PlanRequest } from './plan-messages.ts';

/** The page's side of the plan worker. While one plan is computed only the latest of those that came since waits. */
export class PlanClient {
  #worker: Worker | null = null;
  #busy = false;
  #next: PlanRequest | null = null;
  #lastId = 0;
  readonly #onReply: (reply: PlanReply) => void;
  readonly #onFailure: (message: string) => void;

  constructor(onReply: (reply: PlanReply) => void, onFailure: (message: string) => void) {
    this.#onReply = onReply;
    this.#onFailure = onFailure;
  }

  /** Asks for a plan; the answer comes to `onReply`, unless a later one was asked for before it was begun. Gives its id. */
  compute(given: unknown, finishes: readonly number[] | null): number {
    this.#lastId += 1;
    this.#next = { id: this.#lastId, given, finishes };
    this.#send();
    return this.#lastId;
  }

  stop(): void {
    this.#worker?.terminate();
    this.#worker = null;
    this.#next = null;
    this.#busy = false;
  }

  #send(): void {
    if (this.#busy || !this.#next) return;
    const request = this.#next;
    this.#next = null;
    this.#busy = true;
    (this.#worker ??= this.#start()).postMessage(request);
  }

  #start(): Worker {
    const worker = new Worker(new URL('./plan-worker.ts', import.meta.url), { type: 'module' });
    worker.onmessage = (event: MessageEvent<PlanReply>) => {
      this.#busy = false;
      this.#onReply(event.data);
      this.#send();
    };
    worker.onerror = (event) => {
      this.stop();
      this.#onFailure(event.message || 'the plan could not be computed');
    };
    return worker;
  }
}
