// RFC 9285: two bytes are three characters, a last single byte two, the least significant first. All of them are among
// the 45 characters of QR codes' alphanumeric mode.

const CHARACTERS = '0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:';
const BASE = CHARACTERS.length;
const VALUES = new Map([...CHARACTERS].map((character, value) => [character, value]));

export function base45Text(bytes: Uint8Array): string {
  let text = '';
  for (let i = 0; i < bytes.length; i += 2) {
    const pair = i + 1 < bytes.length;
    let rest = pair ? bytes[i]! * 256 + bytes[i + 1]! : bytes[i]!;
    for (let k = pair ? 3 : 2; k > 0; k -= 1) {
      text += CHARACTERS[rest % BASE]!;
      rest = Math.floor(rest / BASE);
    }
  }
  return text;
}

/** The bytes of a Base45 text, or `null` when it is none: another character, a length or a value that no bytes give. */
export function base45Bytes(text: string): Uint8Array | null {
  if (text.length % 3 === 1) return null;
  const bytes = new Uint8Array(Math.floor((text.length * 2) / 3));
  for (let from = 0, at = 0; from < text.length; from += 3) {
    const part = Math.min(3, text.length - from);
    let value = 0;
    for (let k = part - 1; k >= 0; k -= 1) {
      const digit = VALUES.get(text[from + k]!);
      if (digit === undefined) return null;
      value = value * BASE + digit;
    }
    if (value > (part === 3 ? 0xffff : 0xff)) return null;
    if (part === 3) bytes[at++] = value >> 8;
    bytes[at++] = value & 0xff;
  }
  return bytes;
}
