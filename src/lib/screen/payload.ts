import { encodeUtf8 } from '../records/utf8.ts';
import { SCREEN_LIMITS } from './screen-limits.ts';

/** A hand-off file as it travels over the screen. */
export interface Payload {
  readonly bytes: Uint8Array;
  /** SHA-256 of the file, 32 bytes. */
  readonly digest: Uint8Array;
}

/** The file goes beyond what a screen may hand off, or the payload is none that gives a file back. */
export interface PayloadFailure {
  readonly type: 'too-large' | 'damaged';
}

/** The first byte: the hand-off file as text, or as columns. */
export const PAYLOAD_METHOD = { text: 0, columns: 1 } as const;
/** Where the body begins: after the method and the file's SHA-256. */
export const PAYLOAD_BODY_AT = 33;

/** Bounds for what columns may unpack to. */
export const UNPACK_LIMITS = { records: SCREEN_LIMITS.records, characters: SCREEN_LIMITS.unpackedBytes };

/** The UTF-8 of a text. */
export function utf8Bytes(text: string): Uint8Array<ArrayBuffer> {
  const bytes = new Uint8Array(text.length * 3);
  return bytes.subarray(0, encodeUtf8(text, bytes));
}
