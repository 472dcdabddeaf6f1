import { encodeUtf8 } from '../utf8.ts';

const FIRST_CAPACITY = 1024;

/** Gathers whole numbers and texts as bytes, growing as needed. */
export class ByteWriter {
  #bytes = new Uint8Array(FIRST_CAPACITY);
  #length = 0;

  /** What was written so far; valid until more is written. */
  get bytes(): Uint8Array {
    return this.#bytes.subarray(0, this.#length);
  }

  byte(value: number): void {
    this.#room(1);
    this.#bytes[this.#length++] = value;
  }

  /** LEB128: seven bits a byte, the lowest first, the eighth says that more follow. `value` is whole, 0 to 2^53 − 1. */
  uint(value: number): void {
    if (!Number.isSafeInteger(value) || value < 0) throw new RangeError(`${value} is no uint`);
    let rest = value;
    while (rest >= 0x80) {
      this.byte((rest % 0x80) | 0x80);
      rest = Math.floor(rest / 0x80);
    }
    this.byte(rest);
  }

  /** A whole number of either sign, as the `uint` of 2n for n ≥ 0 and of −2n − 1 below. */
  int(value: number): void {
    this.uint(value >= 0 ? 2 * value : -2 * value - 1);
  }

  raw(bytes: Uint8Array): void {
    this.#room(bytes.length);
    this.#bytes.set(bytes, this.#length);
    this.#length += bytes.length;
  }

  /** The length of the bytes as `uint`, then the bytes. */
  block(bytes: Uint8Array): void {
    this.uint(bytes.length);
    this.raw(bytes);
  }

  /** The UTF-8 of a text as `block`. */
  text(text: string): void {
    const bytes = new Uint8Array(text.length * 3);
    this.block(bytes.subarray(0, encodeUtf8(text, bytes)));
  }

  /** The UTF-8 of a text without its length. */
  characters(text: string): void {
    this.#room(text.length * 3);
    this.#length += encodeUtf8(text, this.#bytes.subarray(this.#length));
  }

  #room(more: number): void {
    if (this.#length + more <= this.#bytes.length) return;
    const larger = new Uint8Array(Math.max(this.#bytes.length * 2, this.#length + more));
    larger.set(this.bytes);
    this.#bytes = larger;
  }
}
