import { encodeUtf8 } from '../records/utf8.ts';
import { TextDictionary } from './text-dictionary.ts';

/** The length of a UUID as it is written. */
export const UUID_LENGTH = 36;
const HYPHEN = 0x2d;
/** Stands out of four digits wherever it is among them. */
const NO_DIGIT = 0x10000;

/** The value of each byte as a lower-case hexadecimal digit. */
const DIGIT = new Int32Array(256).fill(NO_DIGIT);
[...'0123456789abcdef'].forEach((digit, value) => (DIGIT[digit.charCodeAt(0)] = value));

/** The number that four digits write; above 0xffff for what are no digits. */
const fourDigits = (bytes: Uint8Array, at: number): number =>
  (DIGIT[bytes[at]!]! << 12) | (DIGIT[bytes[at + 1]!]! << 8) | (DIGIT[bytes[at + 2]!]! << 4) | DIGIT[bytes[at + 3]!]!;

/** Where the four words of a UUID have their eight digits. */
const hyphensStand = (bytes: Uint8Array, at: number): boolean =>
  bytes[at + 8] === HYPHEN && bytes[at + 13] === HYPHEN && bytes[at + 18] === HYPHEN && bytes[at + 23] === HYPHEN;

/**
 * Numbers record ids 0, 1, 2 … in the order in which they are first met. While all are UUIDs in lower case, each is kept as
 * the sixteen bytes that it writes; from the first other one on, all are texts. A million take 0.1 s of processor time, as
 * texts 0.5.
 */
export class RecordIds {
  /** Four words an id, in the order of their digits. */
  #words: Int32Array = new Int32Array(1024);
  /** Open addressing: number + 1, or 0 for an empty slot, and the hash beside it. Always a power of two of slots and at most half full. */
  #slots = new Int32Array(1024);
  /** Whether each new id so far came after the one before it. Such an id is new, and until one is not, no slot is filled. */
  #ascending = true;
  #size = 0;
  #texts: TextDictionary | null = null;
  /** The words of the UUID that `isUuid` has last read. */
  readonly #read = new Int32Array(4);
  readonly #assumedNew: boolean;

  /** @param assumedNew whether UUIDs are not looked up: then `allDiffer` tells in the end whether none came twice */
  constructor(assumedNew = false) {
    this.#assumedNew = assumedNew;
  }

  get size(): number {
    return this.#texts?.size ?? this.#size;
  }

  /** Whether a UUID in lower case stands in `bytes` at `at`; its 36 bytes must be there. */
  isUuid(bytes: Uint8Array, at: number): boolean {
    if (!hyphensStand(bytes, at)) return false;
    const [a, b, c, d] = [
      fourDigits(bytes, at),
      fourDigits(bytes, at + 4),
      fourDigits(bytes, at + 9),
      fourDigits(bytes, at + 14),
    ];
    const [e, f, g, h] = [
      fourDigits(bytes, at + 19),
      fourDigits(bytes, at + 24),
      fourDigits(bytes, at + 28),
      fourDigits(bytes, at + 32),
    ];
    const read = this.#read;
    read[0] = (a << 16) | b;
    read[1] = (c << 16) | d;
    read[2] = (e << 16) | f;
    read[3] = (g << 16) | h;
    return (a | b | c | d | e | f | g | h) < NO_DIGIT;
  }

  /** The number of the id that stands as UTF-8 in `bytes` from `from` to `to` (not included); a new one if it is new. */
  codeOf(bytes: Uint8Array, from: number, to: number): number {
    if (this.#texts) return this.#texts.codeOf(bytes, from, to);
    if (to - from === UUID_LENGTH && this.isUuid(bytes, from)) return this.codeOfUuid();
    return this.#asTexts().codeOf(bytes, from, to);
  }

  /** The number of the UUID that `isUuid` has last found. */
  codeOfUuid(): number {
    if (this.#texts) return this.#texts.codeOfText(uuidText(this.#read, 0));
    if (this.#assumedNew) return this.#append();
    if (this.#ascending) {
      const order = this.#size === 0 ? 1 : compareWords(this.#read, 0, this.#words, 4 * (this.#size - 1));
      if (order > 0) return this.#append();
      if (order === 0) return this.#size - 1;
      this.#ascending = false;
      this.#fillSlots(this.#slots.length);
    }
    const hash = hashOfWords(this.#read, 0);
    const slots = this.#slots;
    const mask = slots.length / 2 - 1;
    let slot = hash & mask;
    for (;;) {
      const held = slots[2 * slot]! - 1;
      if (held < 0) break;
      if (slots[2 * slot + 1] === hash && this.#isAt(held)) return held;
      slot = (slot + 1) & mask;
    }
    slots[2 * slot] = this.#size + 1;
    slots[2 * slot + 1] = hash;
    const code = this.#append();
    if (this.#size * 4 > slots.length) this.#fillSlots(slots.length * 2);
    return code;
  }

  codeOfText(text: string): number {
    const bytes = new Uint8Array(text.length * 3);
    return this.codeOf(bytes, 0, encodeUtf8(text, bytes));
  }

  /** The id with the number `code`. Throws when what was put in is not UTF-8. */
  text(code: number): string {
    return this.#texts ? this.#texts.text(code) : uuidText(this.#words, 4 * code);
  }

  /** Compares two ids by code point: negative, 0 or positive. */
  compare(a: number, b: number): number {
    return this.#texts ? this.#texts.compare(a, b) : compareWords(this.#words, 4 * a, this.#words, 4 * b);
  }

  #isAt(code: number): boolean {
    const [words, read, at] = [this.#words, this.#read, 4 * code];
    return words[at + 3] === read[3] && words[at + 2] === read[2] && words[at + 1] === read[1] && words[at] === read[0];
  }

  #append(): number {
    const at = 4 * this.#size;
    if (at === this.#words.length) {
      const larger = new Int32Array(at * 2);
      larger.set(this.#words);
      this.#words = larger;
    }
    const [words, read] = [this.#words, this.#read];
    words[at] = read[0]!;
    words[at + 1] = read[1]!;
    words[at + 2] = read[2]!;
    words[at + 3] = read[3]!;
    this.#size += 1;
    return this.#size - 1;
  }

  #fillSlots(least: number): void {
    let length = least;
    while (this.#size * 4 > length) length *= 2;
    const slots = new Int32Array(length);
    const mask = length / 2 - 1;
    for (let code = 0; code < this.#size; code += 1) {
      const hash = hashOfWords(this.#words, 4 * code);
      let slot = hash & mask;
      while (slots[2 * slot] !== 0) slot = (slot + 1) & mask;
      slots[2 * slot] = code + 1;
      slots[2 * slot + 1] = hash;
    }
    this.#slots = slots;
  }

  /** Four words for each id, in the order of their digits; `null` when not all are UUIDs. */
  words(): Int32Array | null {
    return this.#texts ? null : this.#words.subarray(0, 4 * this.#size);
  }

  /** Takes ids after those that are there, as `words` has given them, without looking whether they are new. */
  append(words: Int32Array): void {
    const own = this.#words.subarray(0, 4 * this.#size);
    // Shared, so that another thread can look whether they differ.
    this.#words = new Int32Array(new SharedArrayBuffer(4 * (own.length + words.length)));
    this.#words.set(own);
    this.#words.set(words, own.length);
    this.#size += words.length / 4;
  }

  /** From here on all ids are texts, under the numbers that they have. */
  #asTexts(): TextDictionary {
    const texts = new TextDictionary();
    for (let code = 0; code < this.#size; code += 1) texts.codeOfText(uuidText(this.#words, 4 * code));
    this.#texts = texts;
    this.#words = new Int32Array(0);
    this.#slots = new Int32Array(0);
    return texts;
  }
}

/** In the order of their digits, which is that of the words as unsigned numbers. */
function compareWords(a: Int32Array, atA: number, b: Int32Array, atB: number): number {
  for (let i = 0; i < 4; i += 1) {
    const difference = (a[atA + i]! >>> 0) - (b[atB + i]! >>> 0);
    if (difference !== 0) return difference;
  }
  return 0;
}

/** A hash of 32 bits, all of which depend on all words. */
function hashOfWords(words: Int32Array, at: number): number {
  let hash = 0;
  for (let i = at; i < at + 4; i += 1) {
    hash = Math.imul(hash ^ words[i]!, 0x9e3779b1);
    hash ^= hash >>> 15;
  }
  hash = Math.imul(hash, 0x85ebca6b);
  return hash ^ (hash >>> 13);
}

/** Whether no two of the ids are one; `words` are those of `RecordIds`. */
export function allDiffer(words: Int32Array): boolean {
  const ids = words.length / 4;
  let ascending = 1;
  while (ascending < ids && compareWords(words, 4 * ascending, words, 4 * (ascending - 1)) > 0) ascending += 1;
  if (ascending >= ids) return true;
  const { hashed, ends } = partedByHash(words, ids);
  for (let part = 0; part < PARTS; part += 1) {
    if (!partDiffers(hashed.subarray(2 * ends[part]!, 2 * ends[part + 1]!), words)) return false;
  }
  return true;
}

const PARTS = 256;
/** By the high bits of a hash: the low ones choose the slot. */
const partOf = (hash: number): number => hash >>> 24;

/**
 * For each id its hash and its number, parted by hash, so that each part is looked through in a table that a processor has at
 * hand; part `p` are the ids from `ends[p]` to `ends[p + 1]` (not included).
 */
function partedByHash(words: Int32Array, ids: number): { hashed: Int32Array; ends: Int32Array } {
  const hashes = new Int32Array(ids);
  const ends = new Int32Array(PARTS + 1);
  for (let id = 0; id < ids; id += 1) {
    const hash = hashOfWords(words, 4 * id);
    hashes[id] = hash;
    ends[partOf(hash) + 1]! += 1;
  }
  for (let part = 0; part < PARTS; part += 1) ends[part + 1]! += ends[part]!;
  const next = ends.slice();
  const hashed = new Int32Array(2 * ids);
  for (let id = 0; id < ids; id += 1) {
    const part = partOf(hashes[id]!);
    const at = 2 * next[part]!;
    hashed[at] = hashes[id]!;
    hashed[at + 1] = id;
    next[part]! += 1;
  }
  return { hashed, ends };
}

/** @param hashed hash and number of each id of a part; the words are looked at only where two hashes are one */
function partDiffers(hashed: Int32Array, words: Int32Array): boolean {
  let slotCount = 64;
  while (slotCount < hashed.length) slotCount *= 2;
  const slots = new Int32Array(slotCount);
  for (let at = 0; at < hashed.length; at += 2) {
    const hash = hashed[at]!;
    let slot = hash & (slotCount - 1);
    for (; slots[slot] !== 0; slot = (slot + 1) & (slotCount - 1)) {
      const other = slots[slot]! - 1;
      if (hashed[other] === hash && compareWords(words, 4 * hashed[at + 1]!, words, 4 * hashed[other + 1]!) === 0) {
        return false;
      }
    }
    slots[slot] = at + 1;
  }
  return true;
}

function uuidText(words: Int32Array, at: number): string {
  let digits = '';
  for (let i = 0; i < 4; i += 1) digits += (words[at + i]! >>> 0).toString(16).padStart(8, '0');
  return `${digits.slice(0, 8)}-${digits.slice(8, 12)}-${digits.slice(12, 16)}-${digits.slice(16, 20)}-${digits.slice(20)}`;
}
