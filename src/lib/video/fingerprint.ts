import { sha256 } from '@noble/hashes/sha2.js';
import { bytesToHex } from '@noble/hashes/utils.js';
import type { ClipFile } from './clip-file.ts';

const END_BYTES = 1 << 20;

/**
 * What a clip goes by: SHA-256 of the file's size (8 bytes, big-endian), its first and its last 1 MiB; of a smaller file all
 * of it once. 64 hex digits. Names and paths have no part in it.
 */
export async function fingerprintOf(file: ClipFile): Promise<string> {
  const hash = sha256.create();
  const size = new Uint8Array(8);
  new DataView(size.buffer).setBigUint64(0, BigInt(file.size));
  hash.update(size);
  if (file.size <= 2 * END_BYTES) hash.update(await file.read(0, file.size));
  else {
    hash.update(await file.read(0, END_BYTES));
    hash.update(await file.read(file.size - END_BYTES, file.size));
  }
  return bytesToHex(hash.digest());
}
