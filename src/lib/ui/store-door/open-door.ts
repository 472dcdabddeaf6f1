import type { KerbsideDatabase } from '../../store/database.ts';
import type { DoorAnswer, DoorAsked } from './door-messages.ts';
import { storeCalls } from './store-calls.ts';

/**
 * Lets a worker use the page's database: it has none of its own. In WebKit a worker that is ended or frozen in the middle of
 * a transaction keeps its locks, and whoever wants the same table waits for ever.
 *
 * @returns ends the worker, at any time
 */
export function openDoor(db: KerbsideDatabase, worker: Worker): () => void {
  const ends: (() => void)[] = [() => worker.terminate()];
  const serve = (): MessagePort => {
    const { port1, port2 } = new MessageChannel();
    const calls = storeCalls(db) as Readonly<Record<string, (...args: unknown[]) => Promise<unknown>>>;
    port1.onmessage = ({ data: { id, call, args } }: MessageEvent<DoorAsked>) => {
      calls[call]!(...args).then(
        (value) => port1.postMessage({ id, value } satisfies DoorAnswer),
        (error: unknown) => port1.postMessage({ id, fault: (error as Error).message } satisfies DoorAnswer),
      );
    };
    ends.push(() => port1.close());
    return port2;
  };
  // Two: a worker may have a second one work beside it.
  worker.postMessage(null, [serve(), serve()]);
  return () => {
    for (const end of ends) end();
  };
}
