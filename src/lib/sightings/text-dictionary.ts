import { decodeUtf8, encodeUtf8 } from '../records/utf8.ts';

/** Texts as UTF-8 end to end; each begins where the one before ends. */
export interface PackedTexts {
  readonly bytes: Uint8Array;
  readonly ends: Uint32Array;
}

/** Fewer texts, or one that is longer, are sorted by comparing them. */
const FEW = 256;
const SHORT = 16;

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
  /**
   * Whether each new text so far came after the one before it, as record ids do in an exported table. Such a text is new
   * without a look at the others, and until one is not, no slot is filled.
   */
  #ascending = true;
  #size = 0;
  readonly #names = new Map<string, number>();
  #scratch = new Uint8Array(256);

  get size(): number {
    return this.#size;
  }

  /** The number of the text that stands as UTF-8 in `bytes` from `from` to `to` (not included); a new one if it is new. */
  codeOf(bytes: Uint8Array, from: number, to: number): number {
    if (this.#ascending) {
      const order = this.#size === 0 ? 1 : this.#compareToLast(bytes, from, to);
      if (order > 0) return this.#append(bytes, from, to);
      if (order === 0) return this.#size - 1;
      this.#ascending = false;
      this.#fillSlots();
    }
    const hash = hashOf(bytes, from, to);
    const slots = this.#slots;
    const mask = slots.length / 2 - 1;
    let slot = hash & mask;
    for (;;) {
      const held = slots[2 * slot]! - 1;
      if (held < 0) {
        slots[2 * slot] = this.#size + 1;
        slots[2 * slot + 1] = hash;
        const code = this.#append(bytes, from, to);
        if (this.#size * 4 > slots.length) this.#rehash();
        return code;
      }
      if (slots[2 * slot + 1] === hash && this.#isAt(held, bytes, from, to)) return held;
      slot = (slot + 1) & mask;
    }
  }

  /** The number of `text`; a new one if it is new. */
  codeOfText(text: string): number {
    if (this.#scratch.length < text.length * 3) this.#scratch = new Uint8Array(text.length * 3);
    return this.codeOf(this.#scratch, 0, encodeUtf8(text, this.#scratch));
  }

  /** As `codeOfText`, quicker for the few texts that many rows share: each is kept as a string too. */
  codeOfName(text: string): number {
    let code = this.#names.get(text);
    if (code === undefined) this.#names.set(text, (code = this.codeOfText(text)));
    return code;
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

  /** All texts as bytes end to end, and where each ends: to hand to another thread. */
  packed(): PackedTexts {
    const ends = this.#ends.slice(0, this.#size);
    return { bytes: this.#bytes.slice(0, this.#size === 0 ? 0 : ends[this.#size - 1]), ends };
  }

  /** Takes in what `packed` has given; for each of its numbers the number here. */
  codesOf({ bytes, ends }: PackedTexts): Int32Array {
    return Int32Array.from(ends, (end, code) => this.codeOf(bytes, code === 0 ? 0 : ends[code - 1]!, end));
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

  /** All numbers in the order of their texts by code point. */
  order(): Int32Array {
    const codes = Int32Array.from({ length: this.#size }, (_, code) => code);
    let longest = 0;
    for (let code = 0; code < this.#size; code += 1) longest = Math.max(longest, this.#ends[code]! - this.#start(code));
    if (this.#size < FEW || longest > SHORT) return codes.sort((a, b) => this.compare(a, b));
    // Least byte first, each pass keeps the order of the one before; where a text has ended stands 0, which comes before every byte.
    let sorted: Int32Array = codes;
    for (let at = longest - 1; at >= 0; at -= 1) sorted = this.#sortedByByte(sorted, at);
    return sorted;
  }

  /** Numbers sorted by one byte of their texts, equal ones in the order they had: a counting sort. */
  #sortedByByte(codes: Int32Array, at: number): Int32Array {
    const next = new Int32Array(258);
    const keys = new Uint16Array(codes.length);
    for (let i = 0; i < codes.length; i += 1) {
      const place = this.#start(codes[i]!) + at;
      const key = place < this.#ends[codes[i]!]! ? this.#bytes[place]! + 1 : 0;
      keys[i] = key;
      next[key + 1]! += 1;
    }
    for (let key = 1; key < next.length; key += 1) next[key]! += next[key - 1]!;
    const sorted = new Int32Array(codes.length);
    for (let i = 0; i < codes.length; i += 1) {
      const key = keys[i]!;
      sorted[next[key]!] = codes[i]!;
      next[key]! += 1;
    }
    return sorted;
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

  /** Whether a text comes after the one that was added last (positive), is it (0), or comes before it. */
  #compareToLast(bytes: Uint8Array, from: number, to: number): number {
    const held = this.#bytes;
    const start = this.#start(this.#size - 1);
    const length = this.#ends[this.#size - 1]! - start;
    const shorter = Math.min(length, to - from);
    for (let i = 0; i < shorter; i += 1) {
      const difference = bytes[from + i]! - held[start + i]!;
      if (difference !== 0) return difference;
    }
    return to - from - length;
  }

  #append(bytes: Uint8Array, from: number, to: number): number {
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
    this.#size = code + 1;
    return code;
  }

  #fillSlots(): void {
    let length = this.#slots.length;
    while (this.#size * 4 > length) length *= 2;
    const slots = new Int32Array(length);
    for (let code = 0; code < this.#size; code += 1) {
      putInSlot(slots, code + 1, hashOf(this.#bytes, this.#start(code), this.#ends[code]!));
    }
    this.#slots = slots;
  }

  #rehash(): void {
    const old = this.#slots;
    const slots = new Int32Array(old.length * 2);
    for (let from = 0; from < old.length; from += 2) if (old[from] !== 0) putInSlot(slots, old[from]!, old[from + 1]!);
    this.#slots = slots;
  }
}

function putInSlot(slots: Int32Array, entry: number, hash: number): void {
  const mask = slots.length / 2 - 1;
  let slot = hash & mask;
  while (slots[2 * slot] !== 0) slot = (slot + 1) & mask;
  slots[2 * slot] = entry;
  slots[2 * slot + 1] = hash;
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
