import type { KerbsideDatabase } from '../../store/database.ts';
import { openDoor } from '../store-door/open-door.ts';
import type { SeasonReply, SeasonRequest } from './season-messages.ts';

/** The page's side of the season worker. `stop` ends it at once, even in the middle of a race. */
export class SeasonClient {
  readonly #db: KerbsideDatabase;
  #worker: Worker | null = null;
  #end = () => {};
  readonly #take: (reply: SeasonReply) => void;
  readonly #fail: (message: string) => void;

  /** @param take told every reply; @param fail told when the worker itself cannot run */
  constructor(db: KerbsideDatabase, take: (reply: SeasonReply) => void, fail: (message: string) => void) {
    this.#db = db;
    this.#take = take;
    this.#fail = fail;
  }

  ask(request: SeasonRequest): void {
    this.#worker ??= this.#start();
    this.#worker.postMessage(request);
  }

  stop(): void {
    this.#end();
    this.#worker = null;
  }

  #start(): Worker {
    const worker = new Worker(new URL('./season-worker.ts', import.meta.url), { type: 'module' });
    worker.onmessage = (event: MessageEvent<SeasonReply>) => this.#take(event.data);
    worker.onerror = (event) => this.#fail(event.message || 'the computation could not start');
    this.#end = openDoor(this.#db, worker);
    return worker;
  }
}
