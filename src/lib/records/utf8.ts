// The pure folders are compiled without the DOM library; these two are in every browser, worker and Node all the same.
declare class TextEncoder {
  encodeInto(text: string, into: Uint8Array): { read: number; written: number };
}
declare class TextDecoder {
  constructor(encoding: 'utf-8', options: { fatal: boolean; ignoreBOM: boolean });
  decode(bytes: Uint8Array): string;
}

/** Texts up to this length are written and read by hand where they are plain. */
const SHORT = 24;

const encoder = new TextEncoder();
const strict = new TextDecoder('utf-8', { fatal: true, ignoreBOM: true });

/** Writes `text` as UTF-8 to the start of `into`, which holds three bytes for each UTF-16 unit; the number of bytes. */
export function encodeUtf8(text: string, into: Uint8Array): number {
  if (text.length <= SHORT) {
    let at = 0;
    for (; at < text.length; at += 1) {
      const unit = text.charCodeAt(at);
      if (unit >= 0x80) break;
      into[at] = unit;
    }
    if (at === text.length) return at;
  }
  return encoder.encodeInto(text, into).written;
}

/** The text of the bytes `from` to `to` (not included), or `null` when they are not valid UTF-8. */
export function decodeUtf8(bytes: Uint8Array, from: number, to: number): string | null {
  let ascii = true;
  for (let i = from; i < to && ascii; i += 1) ascii = bytes[i]! < 0x80;
  // Short plain texts are by far the most: a million take 0.04 s, the decoder 0.15 (`npm run bench by-hand`).
  if (ascii && to - from <= SHORT) {
    let text = '';
    for (let i = from; i < to; i += 1) text += String.fromCharCode(bytes[i]!);
    return text;
  }
  try {
    return strict.decode(bytes.subarray(from, to));
  } catch {
    return null;
  }
}
