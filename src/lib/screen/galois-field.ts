/** x^8 + x^4 + x^3 + x^2 + 1: the polynomial by which products in GF(256) are reduced. */
const POLYNOMIAL = 0x11d;

function product(a: number, b: number): number {
  let sum = 0;
  for (let left = a, right = b; right > 0; right >>= 1) {
    if (right & 1) sum ^= left;
    left = left & 0x80 ? (left << 1) ^ POLYNOMIAL : left << 1;
  }
  return sum;
}

/** The products of one number with all 256: 64 KiB in all, and sums of blocks read one row of it from end to end. */
const PRODUCTS: readonly Uint8Array[] = Array.from({ length: 256 }, (_, a) =>
  Uint8Array.from({ length: 256 }, (_, b) => product(a, b)),
);

const INVERSES = Uint8Array.from({ length: 256 }, (_, a) => (a === 0 ? 0 : PRODUCTS[a]!.indexOf(1)));

/** The number whose product with `a` is 1; 0 has none and gives 0. `a` is 0 to 255. */
export function inverseInField(a: number): number {
  return INVERSES[a]!;
}

/** Multiplies `bytes` in place by `factor` (0 to 255) in GF(256), from index `start` on. */
export function scaleInField(bytes: Uint8Array, factor: number, start = 0): void {
  const row = PRODUCTS[factor]!;
  for (let i = start; i < bytes.length; i += 1) bytes[i] = row[bytes[i]!]!;
}

/** Adds `factor` times `from` to `into`, byte by byte in GF(256), from index `start` on. Both have the same length. */
export function addInField(into: Uint8Array, from: Uint8Array, factor: number, start = 0): void {
  if (factor === 0) return;
  const row = PRODUCTS[factor]!;
  for (let i = start; i < into.length; i += 1) into[i] = into[i]! ^ row[from[i]!]!;
}
