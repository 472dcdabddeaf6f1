import { readSync } from 'node:fs';

const CHUNK_BYTES = 1 << 20;

/**
 * Reads the bytes of an open file from `from` to `to` (not included) piece by piece, until `take` wants no more; a piece is
 * only there while `take` runs.
 *
 * @returns whether all were read
 */
export function readRange(file: number, from: number, to: number, take: (bytes: Uint8Array) => boolean): boolean {
  const buffer = new Uint8Array(CHUNK_BYTES);
  for (let at = from; at < to;) {
    const read = readSync(file, buffer, 0, Math.min(CHUNK_BYTES, to - at), at);
    if (read === 0 || !take(buffer.subarray(0, read))) return false;
    at += read;
  }
  return true;
}
