import { base45Bytes, base45Text } from './base45.ts';
import { blocksOf } from './block-sums.ts';
import { crc32 } from './crc-32.ts';
import { SCREEN_LIMITS } from './screen-limits.ts';

/** One code of a running sequence. */
export interface Frame {
  /** 32 bits, new for each showing. */
  readonly session: number;
  /** Bytes of the whole payload, from 1 on. */
  readonly payloadBytes: number;
  /** The frame's number, from 0, 24 bits. */
  readonly n: number;
  /** A block of the payload, or a sum of blocks. */
  readonly block: Uint8Array;
}

const MARK = [0x4b, 0x51] as const;
const VERSION = 1;
const HEAD_BYTES = 13;
const CRC_BYTES = 4;
/** The greatest number of a frame. */
export const LAST_FRAME = 0xffffff;

/** A frame as the text of its code. */
export function frameText({ session, payloadBytes, n, block }: Frame): string {
  const bytes = new Uint8Array(HEAD_BYTES + block.length + CRC_BYTES);
  const view = new DataView(bytes.buffer);
  bytes.set([...MARK, VERSION]);
  view.setUint32(3, session);
  // Three bytes each: the fourth, which comes first, is written over or is 0.
  view.setUint32(6, payloadBytes | (bytes[6]! << 24));
  view.setUint32(9, n | (bytes[9]! << 24));
  bytes.set(block, HEAD_BYTES);
  view.setUint32(bytes.length - CRC_BYTES, crc32(bytes.subarray(0, -CRC_BYTES)));
  return base45Text(bytes);
}

/**
 * The frame that the text of a code is: `null` when it is none or damaged, or says of itself what no sender may show;
 * `newer` when it is whole and of a later version.
 */
export function readFrame(text: string): Frame | 'newer' | null {
  const bytes = base45Bytes(text);
  if (!bytes || bytes.length <= HEAD_BYTES + CRC_BYTES) return null;
  const view = new DataView(bytes.buffer);
  if (bytes[0] !== MARK[0] || bytes[1] !== MARK[1]) return null;
  if (view.getUint32(bytes.length - CRC_BYTES) !== crc32(bytes.subarray(0, -CRC_BYTES))) return null;
  const version = bytes[2]!;
  if (version !== VERSION) return version > VERSION ? 'newer' : null;
  const block = bytes.subarray(HEAD_BYTES, -CRC_BYTES);
  const payloadBytes = view.getUint32(6) & 0xffffff;
  if (payloadBytes === 0 || payloadBytes > SCREEN_LIMITS.payloadBytes) return null;
  if (blocksOf(payloadBytes, block.length) > SCREEN_LIMITS.blocks) return null;
  return { session: view.getUint32(3), payloadBytes, n: view.getUint32(9) & 0xffffff, block };
}
