/**
 * Why the device could not keep or find something. `storageFull`: no room is left. `storageClosed`: the browser gives
 * this page no storage (private mode, blocked by settings, taken away). `raceErased`: the race is no longer on this
 * device. `storageFailed`: anything else, with the browser's words.
 */
export type StoreFailure =
  | { readonly type: 'storageFull' }
  | { readonly type: 'storageClosed' }
  | { readonly type: 'raceErased' }
  | { readonly type: 'storageFailed'; readonly message: string };

const FULL = new Set(['QuotaExceededError']);
const CLOSED = new Set([
  'InvalidStateError',
  'SecurityError',
  'NotFoundError',
  'MissingAPIError',
  'OpenFailedError',
  'DatabaseClosedError',
]);

/** Thrown where a record is to be kept for a race that was erased, as in another tab. */
export class RaceErased extends Error {
  override readonly name = 'RaceErased';
}

/** Reads what IndexedDB or the library over it threw. */
export function storeFailure(thrown: unknown): StoreFailure {
  if (thrown instanceof RaceErased) return { type: 'raceErased' };
  const names = [thrown, (thrown as { inner?: unknown } | null)?.inner].map((e) => (e as Error | null)?.name ?? '');
  if (names.some((name) => FULL.has(name))) return { type: 'storageFull' };
  if (names.some((name) => CLOSED.has(name))) return { type: 'storageClosed' };
  return { type: 'storageFailed', message: thrown instanceof Error ? thrown.message : String(thrown) };
}

/** The failure in words for a person, to stand after what was being kept. */
export function storeFailureWords(failure: StoreFailure): string {
  switch (failure.type) {
    case 'storageFull':
      return 'This device has no room left. Free some space, or save a hand-off file.';
    case 'storageClosed':
      return 'The browser gives this page no storage. Leave private mode, or allow site data for this page.';
    case 'raceErased':
      return 'This race was erased from this device. What is not kept can still be saved as a file.';
    case 'storageFailed':
      return `The device's storage failed: ${failure.message}`;
  }
}
