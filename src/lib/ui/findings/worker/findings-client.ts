import type { KerbsideDatabase } from '../../../store/database.ts';
import { openDoor } from '../../store-door/open-door.ts';
import type {
  DrawRequest,
  FindingsChoices,
  FindingsProgress,
  FindingsReply,
  FindingsRequest,
  FindingsResult,
  SquadRequest,
  SquadResult,
} from './findings-messages.ts';
import { startFindingsWorker } from './start-findings-worker.ts';

interface Waiting {
  readonly resolve: (reply: FindingsReply) => void;
  readonly reject: (error: Error) => void;
  readonly onProgress: ((progress: FindingsProgress) => void) | undefined;
}

/** Thrown to those who wait when the computation is stopped. */
export class FindingsStopped extends Error {
  constructor() {
    super('stopped');
    this.name = 'FindingsStopped';
  }
}

type Asked = FindingsRequest extends infer Request
  ? Request extends FindingsRequest
    ? Omit<Request, 'id'>
    : never
  : never;

/**
 * The page's side of the findings worker. `stop` ends it at once, even in the middle of a long computation. By hand: see
 * `CheckRunner`.
 */
export class FindingsClient {
  readonly #db: KerbsideDatabase;
  #early: Worker | null;
  #worker: Worker | null = null;
  #end = () => {};
  #waiting = new Map<number, Waiting>();
  #lastId = 0;

  /** @param early a worker that was started before, with a database of its own */
  constructor(db: KerbsideDatabase, early: Worker | null = null) {
    this.#db = db;
    this.#early = early;
  }

  /** Computes the findings of a race on this device. `fresh`: read its records again. */
  async compute(
    raceId: string,
    choices: FindingsChoices,
    options: { fresh?: boolean; onProgress?: (progress: FindingsProgress) => void } = {},
  ): Promise<FindingsResult> {
    const reply = await this.#ask(
      { kind: 'compute', raceId, choices, fresh: options.fresh ?? false },
      options.onProgress,
    );
    if (reply.kind !== 'findings') throw new Error(`unexpected reply ${reply.kind}`);
    return reply.result;
  }

  /** A squad of the race last computed; `null` when nobody is asked for. */
  async squad(squad: SquadRequest): Promise<SquadResult | null> {
    const reply = await this.#ask({ kind: 'squad', squad: { team: squad.team, bibs: [...squad.bibs] } });
    if (reply.kind !== 'squad') throw new Error(`unexpected reply ${reply.kind}`);
    return reply.result;
  }

  /** Draws the runners to review on clip at a checkpoint of the race last computed; how all draws there stand. */
  async draw(asked: Omit<DrawRequest, 'id' | 'kind'>): Promise<FindingsResult['validation']> {
    const reply = await this.#ask({ kind: 'draw', ...asked });
    if (reply.kind !== 'validation') throw new Error(`unexpected reply ${reply.kind}`);
    return reply.states;
  }

  stop(): void {
    this.#end();
    this.#worker = null;
    for (const { reject } of this.#waiting.values()) reject(new FindingsStopped());
    this.#waiting.clear();
  }

  #ask(asked: Asked, onProgress?: (progress: FindingsProgress) => void): Promise<FindingsReply> {
    this.#lastId += 1;
    const id = this.#lastId;
    const worker = (this.#worker ??= this.#start());
    return new Promise((resolve, reject) => {
      this.#waiting.set(id, { resolve, reject, onProgress });
      worker.postMessage({ ...asked, id } satisfies FindingsRequest);
    });
  }

  #start(): Worker {
    const early = this.#early;
    this.#early = null;
    const worker = early ?? startFindingsWorker();
    worker.onmessage = (event: MessageEvent<FindingsReply>) => {
      const reply = event.data;
      const waiting = this.#waiting.get(reply.id);
      if (!waiting) return;
      if (reply.kind === 'progress') {
        waiting.onProgress?.(reply.progress);
        return;
      }
      this.#waiting.delete(reply.id);
      if (reply.kind === 'failed') waiting.reject(new Error(reply.message));
      else waiting.resolve(reply);
    };
    worker.onerror = (event) => {
      const error = new Error(event.message || 'the computation could not start');
      for (const { reject } of this.#waiting.values()) reject(error);
      this.#waiting.clear();
    };
    this.#end = early ? () => early.terminate() : openDoor(this.#db, worker);
    return worker;
  }
}
