import type { ClipFile } from './clip-file.ts';

const EBML = 0x1a45dfa3;
const SEGMENT = 0x18538067;

/** Whether the file begins as Matroska and WebM do. */
export async function isMatroska(file: ClipFile): Promise<boolean> {
  if (file.size < 12) return false;
  const head = await file.read(0, 4);
  return new DataView(head.buffer, head.byteOffset, 4).getUint32(0) === EBML;
}

/** Whether the one segment of the file announces more bytes than there are. A segment of unknown length never does. */
export async function matroskaIsCutOff(file: ClipFile): Promise<boolean> {
  const head = await file.read(0, Math.min(file.size, 4096));
  const header = variableInteger(head, 4);
  if (!header || header.value === null) return false;
  const at = 4 + header.length + header.value;
  if (at + 12 > head.length) return false;
  if (new DataView(head.buffer, head.byteOffset).getUint32(at) !== SEGMENT) return false;
  const segment = variableInteger(head, at + 4);
  if (!segment || segment.value === null) return false;
  return at + 4 + segment.length + segment.value > file.size;
}

/** A length as the format writes it, 1 to 8 bytes; `value` is `null` for "not known". */
function variableInteger(bytes: Uint8Array, at: number): { value: number | null; length: number } | null {
  const first = bytes[at] ?? 0;
  const length = Math.clz32(first) - 23;
  if (length > 8 || at + length > bytes.length) return null;
  let value = first & (0xff >> length);
  let unknown = value === 0xff >> length;
  for (let i = 1; i < length; i += 1) {
    value = value * 256 + bytes[at + i]!;
    unknown &&= bytes[at + i] === 0xff;
  }
  return { value: unknown ? null : value, length };
}
