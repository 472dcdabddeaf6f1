import { sha256 } from '@noble/hashes/sha2.js';
import { Inflate } from 'fflate';
import type { UnpackTools } from './unpack-payload.ts';

/** DEFLATE makes at most 1,032 bytes of one: what comes of a piece of this size is never much. */
const INFLATED_AT_ONCE = 1024;

/** The tools that need nothing of a browser: for plain http, where there is no SHA-256, and for older ones. */
export const plainUnpackTools: UnpackTools = {
  sha256: (bytes) => Promise.resolve(sha256(bytes)),
  inflate: (bytes, length) => Promise.resolve(inflated(bytes, length)),
};

function inflated(bytes: Uint8Array, length: number): Uint8Array<ArrayBuffer> | null {
  const whole = new Uint8Array(length);
  let at = 0;
  let ended = false;
  const inflate = new Inflate((piece, last) => {
    if (at + piece.length <= length) whole.set(piece, at);
    at += piece.length;
    ended = last;
  });
  try {
    for (let from = 0; from < bytes.length && at <= length; from += INFLATED_AT_ONCE) {
      const to = from + INFLATED_AT_ONCE;
      inflate.push(bytes.subarray(from, to), to >= bytes.length);
    }
  } catch {
    return null;
  }
  return ended && at === length ? whole : null;
}
