import { decodeUtf8, encodeUtf8 } from '../records/utf8.ts';

/**
 * Numbers texts 0, 1, 2 … in the order in which they are first met. The texts are kept as UTF-8 bytes end to end in one
 * array: a million record ids take their own bytes and twenty more each, and no string is made until one is asked for.
 */
export class TextDictionary {
  #bytes = new Uint8Array(1024);
  /** Where the text of each number ends; it begins where the one before ends. */
  #ends = new Uint32Array(64);
  #hashes = new Int32Array(64);
  /** Open addressing: number + 1, or 0 for an empty slot; always a power of two and at most half full. */
  #slots = new Int32Array(128);
  #size = 0;
  #scratch = new Uint8Array(256);

  get size(): number {
    return this.#size;
  }

  /** The number of the text that stands as UTF-8 in `bytes` from `from` to `to` (not included); a new one if it is new. */
  codeOf(bytes: Uint8Array, from: number, to: number): number {
    // FNV-1a, 32 bits.
    let hash = 0x811c9dc5 | 0;
    for (let i = from; i < to; i += 1) hash = Math.imul(hash ^ bytes[i]!, 0x01000193);
    const mask = this.#slots.length - 1;
    // The low bits of FNV alone cluster on runs of digits.
    let slot = (hash ^ (hash >>> 15)) & mask;
    for (;;) {
      const held = this.#slots[slot]! - 1;
      if (held < 0) return this.#insert(slot, hash, bytes, from, to);
      if (this.#hashes[held] === hash && this.#isAt(held, bytes, from, to)) return held;
      slot = (slot + 1) & mask;
    }
  }

  /** The number of `text`; a new one if it is new. */
  codeOfText(text: string): number {
    if (this.#scratch.length < text.length * 3) this.#scratch = new Uint8Array(text.length * 3);
    return this.codeOf(this.#scratch, 0, encodeUtf8(text, this.#scratch));
  }

  /** The text with the number `code`. Throws when what was put in is not UTF-8. */
  text(code: number): string {
    const text = decodeUtf8(this.#bytes, this.#start(code), this.#ends[code]!);
    if (text === null) throw new Error(`text ${code} is not UTF-8`);
    return text;
  }

  /** All texts by number. */
  texts(): string[] {
    return Array.from({ length: this.#size }, (_, code) => this.text(code));
  }

  /** Compares two texts by code point, which in UTF-8 is the order of their bytes: negative, 0 or positive. */
  compare(a: number, b: number): number {
    const [fromA, fromB] = [this.#start(a), this.#start(b)];
    const [lengthA, lengthB] = [this.#ends[a]! - fromA, this.#ends[b]! - fromB];
    const shorter = Math.min(lengthA, lengthB);
    for (let i = 0; i < shorter; i += 1) {
      const difference = this.#bytes[fromA + i]! - this.#bytes[fromB + i]!;
      if (difference !== 0) return difference;
    }
    return lengthA - lengthB;
  }

  #start(code: number): number {
    return code === 0 ? 0 : this.#ends[code - 1]!;
  }

  #isAt(code: number, bytes: Uint8Array, from: number, to: number): boolean {
    const start = this.#start(code);
    if (this.#ends[code]! - start !== to - from) return false;
    for (let i = from, j = start; i < to; i += 1, j += 1) if (bytes[i] !== this.#bytes[j]) return false;
    return true;
  }

  #insert(slot: number, hash: number, bytes: Uint8Array, from: number, to: number): number {
    const code = this.#size;
    const start = this.#start(code);
    const end = start + to - from;
    if (end > 0xffff_ffff) throw new RangeError('more than 4 GB of text');
    if (end > this.#bytes.length) {
      const larger = new Uint8Array(Math.max(end, Math.ceil(this.#bytes.length * 1.5)));
      larger.set(this.#bytes);
      this.#bytes = larger;
    }
    for (let i = from, j = start; i < to; i += 1, j += 1) this.#bytes[j] = bytes[i]!;
    if (code === this.#ends.length) {
      const ends = new Uint32Array(code * 2);
      ends.set(this.#ends);
      this.#ends = ends;
      const hashes = new Int32Array(code * 2);
      hashes.set(this.#hashes);
      this.#hashes = hashes;
    }
    this.#ends[code] = end;
    this.#hashes[code] = hash;
    this.#slots[slot] = code + 1;
    this.#size = code + 1;
    if (this.#size * 2 > this.#slots.length) this.#rehash();
    return code;
  }

  #rehash(): void {
    const slots = new Int32Array(this.#slots.length * 2);
    const mask = slots.length - 1;
    for (let code = 0; code < this.#size; code += 1) {
      const hash = this.#hashes[code]!;
      let slot = (hash ^ (hash >>> 15)) & mask;
      while (slots[slot] !== 0) slot = (slot + 1) & mask;
      slots[slot] = code + 1;
    }
    this.#slots = slots;
  }
}
