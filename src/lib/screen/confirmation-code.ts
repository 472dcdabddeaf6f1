/** Crockford's base 32: no I, L, O and U, which are read for others. */
const DIGITS = '0123456789ABCDEFGHJKMNPQRSTVWXYZ';
const CHARACTERS = 6;

/**
 * The first 30 bits of a hand-off file's SHA-256 as both screens show them, `P9W-J2Y`: it tells mix-ups of files, not
 * forgery.
 *
 * @param digest at least 4 bytes
 */
export function confirmationCode(digest: Uint8Array): string {
  const bits = new DataView(digest.buffer, digest.byteOffset).getUint32(0) >>> 2;
  const code = Array.from({ length: CHARACTERS }, (_, i) => DIGITS[(bits >>> (5 * (CHARACTERS - 1 - i))) & 31]!).join(
    '',
  );
  return `${code.slice(0, 3)}-${code.slice(3)}`;
}
