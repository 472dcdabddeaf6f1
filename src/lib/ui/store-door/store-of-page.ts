import { KerbsideDatabase } from '../../store/database.ts';
import type { DoorAnswer, DoorAsked, DoorMessage } from './door-messages.ts';
import { storeCalls, type StoreDoor } from './store-calls.ts';

type Ask = (call: string, args: readonly unknown[]) => Promise<unknown>;

/** What to send to a worker beside, before all else. */
export interface SecondDoor {
  readonly message: DoorMessage;
  readonly ports: MessagePort[];
}

interface Waiting {
  readonly resolve: (value: unknown) => void;
  readonly reject: (error: Error) => void;
}

/** Asks the database behind a port that `openDoor` made. */
function askBehind(port: MessagePort): Ask {
  const waiting = new Map<number, Waiting>();
  let last = 0;
  port.onmessage = ({ data }: MessageEvent<DoorAnswer>) => {
    const one = waiting.get(data.id);
    waiting.delete(data.id);
    if ('fault' in data) one?.reject(new Error(data.fault));
    else one?.resolve(data.value);
  };
  return (call, args) =>
    new Promise((resolve, reject) => {
      last += 1;
      waiting.set(last, { resolve, reject });
      port.postMessage({ id: last, call, args } satisfies DoorAsked);
    });
}

function askOwn(): Ask {
  const calls = storeCalls(new KerbsideDatabase()) as Readonly<
    Record<string, (...args: unknown[]) => Promise<unknown>>
  >;
  return (call, args) => calls[call]!(...args);
}

/**
 * In a worker: the device's database as `openDoor` lets it be used, and the same for a worker beside. Call before anything
 * else listens: the first message is heard here alone.
 */
export function storeOfPage(): { readonly store: StoreDoor; readonly secondDoor: Promise<SecondDoor> } {
  const doors = new Promise<MessageEvent<DoorMessage>>((resolve) => {
    const hear = (event: MessageEvent<DoorMessage>) => {
      event.stopImmediatePropagation();
      removeEventListener('message', hear);
      resolve(event);
    };
    addEventListener('message', hear);
  });
  const asking = doors.then(({ data, ports }) => (data.own ? askOwn() : askBehind(ports[0]!)));
  const store = new Proxy({} as StoreDoor, {
    get:
      (_, call) =>
      async (...args: unknown[]) =>
        (await asking)(String(call), args),
  });
  return { store, secondDoor: doors.then(({ data, ports }) => ({ message: data, ports: ports.slice(1) })) };
}
