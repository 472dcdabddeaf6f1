import { holdByMessages } from './hold-by-messages.ts';

/** A name that one tab of this device holds at a time. */
export interface Held {
  /** Whether this tab was the first to ask. */
  readonly first: boolean;
  readonly release: () => void;
}

/**
 * Asks for `name`. A tab that comes second hears by `onHeld` when the first has gone, even by a crash. Where the
 * browser has no locks, as on plain http, the tabs ask each other.
 */
export async function holdAlone(name: string, onHeld: () => void): Promise<Held> {
  const locks = (navigator as Partial<Navigator>).locks;
  if (!locks) return holdByMessages(name, crypto.getRandomValues(new Uint32Array(1))[0]!, onHeld);
  let release = () => undefined as void;
  const untilReleased = () => new Promise<void>((resolve) => (release = resolve));
  const first = await new Promise<boolean>((resolve) => {
    const asked = locks.request(name, { ifAvailable: true }, (lock) => {
      resolve(lock !== null);
      return lock ? untilReleased() : undefined;
    });
    asked.catch(() => resolve(true));
  });
  if (first) return { first, release: () => release() };
  const waiting = new AbortController();
  const later = locks.request(name, { signal: waiting.signal }, () => {
    onHeld();
    return untilReleased();
  });
  later.catch(() => undefined);
  return {
    first,
    release: () => {
      waiting.abort();
      release();
    },
  };
}
