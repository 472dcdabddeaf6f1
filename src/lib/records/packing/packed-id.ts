/** Random bits of a UUID version 7: 12 after its version, 62 after its variant. */
export const ID_RANDOM_BITS = 74;

/** Milliseconds since 1970 that a UUID version 7 begins with. */
export function millisecondsOfId(id: string): number {
  return Number.parseInt(id.slice(0, 8) + id.slice(9, 13), 16);
}

/** The random bits of UUIDs version 7 end to end, the greatest bit first; the last byte is filled up with 0. */
export function packedIdBits(ids: readonly string[]): Uint8Array {
  const bytes = new Uint8Array(Math.ceil((ids.length * ID_RANDOM_BITS) / 8));
  let at = 0;
  const put = (value: number, bits: number) => {
    for (let bit = bits - 1; bit >= 0; bit -= 1, at += 1) {
      if ((value >> bit) & 1) bytes[at >> 3]! |= 0x80 >> (at & 7);
    }
  };
  for (const id of ids) {
    put(Number.parseInt(id.slice(15, 18), 16), 12);
    // The variant's two bits are the same in all.
    put(Number.parseInt(id.slice(19, 23), 16), 14);
    for (let digit = 24; digit < 36; digit += 4) put(Number.parseInt(id.slice(digit, digit + 4), 16), 16);
  }
  return bytes;
}

const hex = (value: number, digits: number) => value.toString(16).padStart(digits, '0');

/**
 * The UUID version 7 of a time and the random bits at `index` of those that `packedIdBits` wrote.
 *
 * @param ms milliseconds since 1970, 0 to 2^48 − 1
 */
export function idOfPackedBits(ms: number, bits: Uint8Array, index: number): string {
  let at = index * ID_RANDOM_BITS;
  const take = (count: number) => {
    let value = 0;
    for (const end = at + count; at < end; at += 1) value = (value << 1) | ((bits[at >> 3]! >> (7 - (at & 7))) & 1);
    return value;
  };
  const time = hex(ms, 12);
  const afterVersion = hex(take(12), 3);
  const afterVariant = hex(take(14) | 0x8000, 4);
  const rest = hex(take(16), 4) + hex(take(16), 4) + hex(take(16), 4);
  return `${time.slice(0, 8)}-${time.slice(8)}-7${afterVersion}-${afterVariant}-${rest}`;
}
