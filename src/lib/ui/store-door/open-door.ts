import type { KerbsideDatabase } from '../../store/database.ts';
import type { DoorAnswer, DoorAsked, DoorMessage } from './door-messages.ts';
import { keepsLocks } from './keeps-locks.ts';
import { storeCalls } from './store-calls.ts';

/**
 * Lets a worker use the device's database: one of its own, or the page's where it may have none.
 *
 * @returns ends the worker, at any time
 */
export function openDoor(db: KerbsideDatabase, worker: Worker): () => void {
  if (!keepsLocks()) {
    worker.postMessage({ own: true } satisfies DoorMessage);
    return () => worker.terminate();
  }
  const ports: MessagePort[] = [];
  const serve = (): MessagePort => {
    const { port1, port2 } = new MessageChannel();
    const calls = storeCalls(db) as Readonly<Record<string, (...args: unknown[]) => Promise<unknown>>>;
    port1.onmessage = ({ data: { id, call, args } }: MessageEvent<DoorAsked>) => {
      calls[call]!(...args).then(
        (value) => port1.postMessage({ id, value } satisfies DoorAnswer),
        (error: unknown) => port1.postMessage({ id, fault: (error as Error).message } satisfies DoorAnswer),
      );
    };
    ports.push(port1);
    return port2;
  };
  // Two: a worker may have a second one work beside it.
  worker.postMessage({ own: false } satisfies DoorMessage, [serve(), serve()]);
  return () => {
    worker.terminate();
    for (const port of ports) port.close();
  };
}
