import { decodeUtf8, encodeUtf8 } from '../records/utf8.ts';

/**
 * Numbers texts 0, 1, 2 … in the order in which they are first met. The texts are kept as UTF-8 bytes end to end in one
 * array: a million record ids take their own bytes and twenty more each, and no string is made until one is asked for.
 */
export class TextDictionary {
  #bytes = new Uint8Array(1024);
  /** Where the text of each number ends; it begins where the one before ends. */
  #ends = new Uint32Array(64);
  /**
   * Open addressing, two numbers a slot: number + 1, or 0 for an empty slot, and the hash beside it, so that one look at
   * memory tells both. Always a power of two of slots and at most half full.
   */
  #slots = new Int32Array(256);
  #size = 0;
  #scratch = new Uint8Array(256);

  get size(): number {
    return this.#size;
  }

  /** The number of the text that stands as UTF-8 in `bytes` from `from` to `to` (not included); a new one if it is new. */
  codeOf(bytes: Uint8Array, from: number, to: number): number {
    const hash = hashOf(bytes, from, to);
    const slots = this.#slots;
    const mask = slots.length / 2 - 1;
    let slot = hash & mask;
    for (;;) {
      const held = slots[2 * slot]! - 1;
      if (held < 0) return this.#insert(slot, hash, bytes, from, to);
      if (slots[2 * slot + 1] === hash && this.#isAt(held, bytes, from, to)) return held;
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
    const held = this.#bytes;
    for (let i = from, j = start; i < to; i += 1, j += 1) held[j] = bytes[i]!;
    if (code === this.#ends.length) {
      const ends = new Uint32Array(code * 2);
      ends.set(this.#ends);
      this.#ends = ends;
    }
    this.#ends[code] = end;
    this.#slots[2 * slot] = code + 1;
    this.#slots[2 * slot + 1] = hash;
    this.#size = code + 1;
    if (this.#size * 4 > this.#slots.length) this.#rehash();
    return code;
  }

  #rehash(): void {
    const old = this.#slots;
    const slots = new Int32Array(old.length * 2);
    const mask = slots.length / 2 - 1;
    for (let from = 0; from < old.length; from += 2) {
      if (old[from] === 0) continue;
      const hash = old[from + 1]!;
      let slot = hash & mask;
      while (slots[2 * slot] !== 0) slot = (slot + 1) & mask;
      slots[2 * slot] = old[from]!;
      slots[2 * slot + 1] = hash;
    }
    this.#slots = slots;
  }
}

/** A hash of 32 bits, all of which depend on all bytes; four bytes a step, in the manner of multiplicative hashing. */
function hashOf(bytes: Uint8Array, from: number, to: number): number {
  let hash = to - from;
  let i = from;
  for (; i + 4 <= to; i += 4) {
    const word = bytes[i]! | (bytes[i + 1]! << 8) | (bytes[i + 2]! << 16) | (bytes[i + 3]! << 24);
    hash = Math.imul(hash ^ word, 0x9e3779b1);
    hash ^= hash >>> 15;
  }
  for (; i < to; i += 1) hash = Math.imul(hash ^ bytes[i]!, 0x01000193);
  // The low bits choose the slot: the high ones are folded into them.
  hash = Math.imul(hash ^ (hash >>> 16), 0x85ebca6b);
  return hash ^ (hash >>> 13);
}
