import { v7 } from 'uuid';

/** The randomness an id needs: fills the array it is given and returns it. `crypto.getRandomValues` is one. */
export type RandomBytes = (bytes: Uint8Array<ArrayBuffer>) => Uint8Array;

/**
 * A UUID version 7 (RFC 9562): ids made later sort later, so the hub appends instead of scattering its writes.
 *
 * @param ms the clock, milliseconds since 1970-01-01T00:00Z
 * @param randomBytes where its random bits come from
 */
export function newId(ms: number, randomBytes: RandomBytes): string {
  const random = randomBytes(new Uint8Array(16));
  return v7({ msecs: ms, random });
}
