import { decodeUtf8 } from '../utf8.ts';

const NOTHING = new Uint8Array();

/**
 * Reads what `ByteWriter` writes. Bytes that end too soon, a number above 2^53 − 1 or a text that is no UTF-8 make it
 * `broken`: from then on it gives 0 and empty texts, so that one look at the end is enough.
 */
export class ByteReader {
  readonly #bytes: Uint8Array;
  #at = 0;
  #broken = false;

  constructor(bytes: Uint8Array) {
    this.#bytes = bytes;
  }

  get broken(): boolean {
    return this.#broken;
  }
  /** Whether every byte was read and none was missing. */
  get finished(): boolean {
    return !this.#broken && this.#at === this.#bytes.length;
  }
  get left(): number {
    return this.#bytes.length - this.#at;
  }

  raw(length: number): Uint8Array {
    if (this.#broken || length > this.left) {
      this.#broken = true;
      return NOTHING;
    }
    this.#at += length;
    return this.#bytes.subarray(this.#at - length, this.#at);
  }

  byte(): number {
    if (this.#broken || this.left === 0) {
      this.#broken = true;
      return 0;
    }
    return this.#bytes[this.#at++]!;
  }

  uint(): number {
    let value = 0;
    for (let scale = 1; ; scale *= 0x80) {
      const byte = this.byte();
      value += (byte & 0x7f) * scale;
      if (value > Number.MAX_SAFE_INTEGER) this.#broken = true;
      if (this.#broken) return 0;
      if (byte < 0x80) return value;
    }
  }

  int(): number {
    const value = this.uint();
    return value % 2 === 0 ? value / 2 : -(value + 1) / 2;
  }

  block(): Uint8Array {
    return this.raw(this.uint());
  }

  text(): string {
    return this.characters(this.uint());
  }

  /** A text of `length` bytes. */
  characters(length: number): string {
    const bytes = this.raw(length);
    const text = decodeUtf8(bytes, 0, bytes.length);
    if (text === null) this.#broken = true;
    return text ?? '';
  }
}
