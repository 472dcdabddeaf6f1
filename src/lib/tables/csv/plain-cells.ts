// Cells of plain ASCII, found in the bytes of a table without looking at any of them twice.
export const LINE_FEED = 0x0a;
export const CARRIAGE_RETURN = 0x0d;
export const SPACE = 0x20;
export const QUOTE = 0x22;
export const APOSTROPHE = 0x27;
export const COMMA = 0x2c;
const TILDE = 0x7e;
export const COLON = 0x3a;
export const ZERO = 0x30;
export const DOT = 0x2e;
export const UPPER_Z = 0x5a;

/** No row is read here: it is for the reader that takes everything. */
export const NOT_PLAIN = -1;

/** Where `bytes` has one of a few words that differ in their first letter: the number of the word, or -1. */
export function wordAt(words: readonly Uint8Array[], bytes: Uint8Array, at: number): number {
  for (let w = 0; w < words.length; w += 1) {
    const word = words[w]!;
    if (word[0] !== bytes[at]) continue;
    for (let i = 1; i < word.length; i += 1) if (bytes[at + i] !== word[i]) return -1;
    return w;
  }
  return -1;
}

/** Where a cell of printable ASCII without a quotation mark ends, or {@link NOT_PLAIN}. */
export function textEnd(bytes: Uint8Array, at: number, length: number): number {
  for (let end = at; end < length; end += 1) {
    const byte = bytes[end]!;
    if (byte > COMMA ? byte <= TILDE : byte >= SPACE && byte !== COMMA && byte !== QUOTE) continue;
    return byte === COMMA || byte === LINE_FEED || byte === CARRIAGE_RETURN ? end : NOT_PLAIN;
  }
  return NOT_PLAIN;
}

export const endsCell = (byte: number): boolean => byte === COMMA || byte === LINE_FEED || byte === CARRIAGE_RETURN;

/** The number that two digits at `at` write; 100 or more, or below 0, for what are no digits. */
export function twoDigits(bytes: Uint8Array, at: number): number {
  const [tens, ones] = [bytes[at]! - ZERO, bytes[at + 1]! - ZERO];
  return tens < 0 || tens > 9 || ones < 0 || ones > 9 ? 100 : tens * 10 + ones;
}

/** As {@link textEnd}, for a cell that is not empty and begins with neither a blank nor an apostrophe. */
export function nameEnd(bytes: Uint8Array, at: number, length: number): number {
  const first = bytes[at]!;
  return first === SPACE || first === APOSTROPHE || endsCell(first) ? NOT_PLAIN : textEnd(bytes, at, length);
}
