import type { DoorAnswer, DoorAsked } from './door-messages.ts';
import type { StoreDoor } from './store-calls.ts';

interface Waiting {
  readonly resolve: (value: unknown) => void;
  readonly reject: (error: Error) => void;
}

/** The database behind a port that `openDoor` made. */
export function storeBehind(port: MessagePort | Promise<MessagePort>): StoreDoor {
  const waiting = new Map<number, Waiting>();
  let last = 0;
  const open = Promise.resolve(port).then((door) => {
    door.onmessage = ({ data }: MessageEvent<DoorAnswer>) => {
      const one = waiting.get(data.id);
      waiting.delete(data.id);
      if ('fault' in data) one?.reject(new Error(data.fault));
      else one?.resolve(data.value);
    };
    return door;
  });
  const ask = (call: string, args: readonly unknown[]) =>
    new Promise((resolve, reject) => {
      last += 1;
      const id = last;
      waiting.set(id, { resolve, reject });
      void open.then((door) => door.postMessage({ id, call, args } satisfies DoorAsked));
    });
  return new Proxy({} as StoreDoor, {
    get:
      (_, call) =>
      (...args: unknown[]) =>
        ask(String(call), args),
  });
}

/**
 * In a worker: the page's database, and a second door to it for a worker beside. Call before anything else listens: the
 * message that brings the doors is heard here alone.
 */
export function storeOfPage(): { readonly store: StoreDoor; readonly secondDoor: Promise<MessagePort> } {
  const doors = new Promise<readonly MessagePort[]>((resolve) => {
    const hear = (event: MessageEvent) => {
      event.stopImmediatePropagation();
      removeEventListener('message', hear);
      resolve(event.ports);
    };
    addEventListener('message', hear);
  });
  return { store: storeBehind(doors.then(([first]) => first!)), secondDoor: doors.then(([, second]) => second!) };
}
