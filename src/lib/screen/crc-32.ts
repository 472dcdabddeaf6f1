/** The polynomial of IEEE 802.3, its bits in reverse. */
const POLYNOMIAL = 0xedb88320;

const TABLE = Uint32Array.from({ length: 256 }, (_, byte) => {
  let rest = byte;
  for (let bit = 0; bit < 8; bit += 1) rest = rest & 1 ? (rest >>> 1) ^ POLYNOMIAL : rest >>> 1;
  return rest;
});

/** CRC-32 of IEEE 802.3, 0 to 2^32 − 1. */
export function crc32(bytes: Uint8Array): number {
  let rest = 0xffffffff;
  for (const byte of bytes) rest = (rest >>> 8) ^ TABLE[(rest ^ byte) & 0xff]!;
  return ~rest >>> 0;
}
