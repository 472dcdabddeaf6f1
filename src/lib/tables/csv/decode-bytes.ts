import { failed, succeeded, type Attempt } from '../../records/attempt.ts';

export type Encoding = 'UTF-8' | 'UTF-16LE' | 'UTF-16BE' | 'Windows-1252';

export interface DecodedText {
  /** Without byte-order mark, every line end a line feed. */
  text: string;
  encoding: Encoding;
  /** Bytes that are not UTF-8 in a file that otherwise is: each stands as U+FFFD in `text`. */
  brokenCharacters: number;
}

export interface NotText {
  type: 'not-text';
  /** What the bytes seem to be, as the end of a sentence that begins with "The file is". */
  looksLike: string;
}

const SIGNATURES: readonly (readonly [readonly number[], string])[] = [
  [[0x50, 0x4b, 0x03, 0x04], 'a workbook or another zip archive; save the sheet as CSV'],
  [[0xd0, 0xcf, 0x11, 0xe0], 'an old spreadsheet workbook; save the sheet as CSV'],
  [[0x25, 0x50, 0x44, 0x46], 'a PDF; ask for the list as CSV'],
  [[0x1f, 0x8b], 'compressed; unpack it first'],
];

/** How a web page or another marked-up text begins, whatever name it was saved under. */
const MARKUP = /^\s*<(?:!doctype|html|head|body|table|meta|style|\?xml|!--)/i;

const begins = (bytes: Uint8Array, start: readonly number[]) => start.every((byte, i) => bytes[i] === byte);

/** Control characters that no text table has. The first 64 KiB tell. */
function isBinary(bytes: Uint8Array): boolean {
  const sample = bytes.subarray(0, 65_536);
  let controls = 0;
  for (const byte of sample) {
    if (byte === 0) return true;
    if (byte < 9 || (byte > 13 && byte < 32)) controls += 1;
  }
  // A stray one or two, in a short list too, are faults of their cells and said there.
  return controls > Math.max(8, sample.length / 100);
}

function countReplaced(text: string): number {
  let n = 0;
  for (let at = text.indexOf('\ufffd'); at >= 0; at = text.indexOf('\ufffd', at + 1)) n += 1;
  return n;
}

function countBeyondAscii(text: string): number {
  let n = 0;
  for (let i = 0; i < text.length; i += 1) if (text.charCodeAt(i) > 127) n += 1;
  return n;
}

const oneLineEnd = (text: string) => (text.includes('\r') ? text.replace(/\r\n?/g, '\n') : text);

/**
 * Text from the bytes of a file as organisers export it: UTF-8 with or without its mark, UTF-16 with its mark, else
 * Windows-1252. A file that is UTF-8 but for a few bytes stays UTF-8, with those bytes counted.
 */
export function decodeBytes(bytes: Uint8Array): Attempt<DecodedText, NotText> {
  const decoded = decodeText(bytes);
  if (decoded.ok && MARKUP.test(decoded.value.text.slice(0, 1000))) {
    return failed({
      type: 'not-text',
      looksLike:
        'a web page saved under the name of a table; open it in a spreadsheet program and save it as .xlsx or CSV',
    });
  }
  return decoded;
}

function decodeText(bytes: Uint8Array): Attempt<DecodedText, NotText> {
  const decoded = (encoding: Encoding, text: string, brokenCharacters = 0) =>
    succeeded({ text: oneLineEnd(text), encoding, brokenCharacters });
  if (begins(bytes, [0xff, 0xfe])) {
    const text = new TextDecoder('utf-16le').decode(bytes);
    return decoded('UTF-16LE', text, countReplaced(text));
  }
  if (begins(bytes, [0xfe, 0xff])) {
    const text = new TextDecoder('utf-16be').decode(bytes);
    return decoded('UTF-16BE', text, countReplaced(text));
  }
  for (const [start, looksLike] of SIGNATURES) {
    if (begins(bytes, start)) return failed({ type: 'not-text', looksLike });
  }
  if (isBinary(bytes)) {
    return failed({ type: 'not-text', looksLike: 'no text in a known encoding; save it as CSV in UTF-8' });
  }
  try {
    return decoded('UTF-8', new TextDecoder('utf-8', { fatal: true }).decode(bytes));
  } catch {
    const lenient = new TextDecoder('utf-8').decode(bytes);
    const broken = countReplaced(lenient);
    // Windows-1252 hardly ever forms valid UTF-8 sequences by chance, so a majority of them means damaged UTF-8.
    if (countBeyondAscii(lenient) - broken > broken) return decoded('UTF-8', lenient, broken);
    return decoded('Windows-1252', new TextDecoder('windows-1252').decode(bytes));
  }
}
