/** Words of 32 bits in a UUID. */
const WORDS = 4;
const HYPHEN = 45;

/** The value of a hexadecimal digit in lower case by its character code, −1 for any other character. */
const HEX_VALUE = new Int8Array(65536).fill(-1);
for (let digit = 0; digit < 16; digit += 1) HEX_VALUE[digit.toString(16).charCodeAt(0)] = digit;

/** Four hexadecimal digits as a number; negative when one is none. */
const fourDigits = (text: string, at: number): number =>
  (HEX_VALUE[text.charCodeAt(at)]! << 12) |
  (HEX_VALUE[text.charCodeAt(at + 1)]! << 8) |
  (HEX_VALUE[text.charCodeAt(at + 2)]! << 4) |
  HEX_VALUE[text.charCodeAt(at + 3)]!;

const areHyphens = (text: string): boolean =>
  text.charCodeAt(8) === HYPHEN &&
  text.charCodeAt(13) === HYPHEN &&
  text.charCodeAt(18) === HYPHEN &&
  text.charCodeAt(23) === HYPHEN;

/** Writes an id as four numbers. Throws on a text that is no UUID in lower case. */
function writeWords(id: string, words: Uint32Array, at: number): void {
  const [a, b, c, d] = [fourDigits(id, 0), fourDigits(id, 4), fourDigits(id, 9), fourDigits(id, 14)];
  const [e, f, g, h] = [fourDigits(id, 19), fourDigits(id, 24), fourDigits(id, 28), fourDigits(id, 32)];
  if (id.length !== 36 || (a | b | c | d | e | f | g | h) < 0 || !areHyphens(id)) {
    throw new Error(`${id} is no UUID in lower case`);
  }
  words[at] = (a << 16) | b;
  words[at + 1] = (c << 16) | d;
  words[at + 2] = (e << 16) | f;
  words[at + 3] = (g << 16) | h;
}

/** Compares two ids as numbers, each at its place: negative, 0 or positive. */
function compareWords(words: Uint32Array, at: number, others: Uint32Array, otherAt: number): number {
  for (let i = 0; i < WORDS; i += 1) {
    const difference = words[at + i]! - others[otherAt + i]!;
    if (difference !== 0) return difference;
  }
  return 0;
}

/**
 * UUIDs in lower case, one a row, in 16 bytes each: a million of them as texts take 60 MB and cannot be handed from worker to
 * worker without a copy. Their order is that of their texts.
 */
export class IdColumn {
  #words: Uint32Array<ArrayBuffer>;
  #size: number;

  /** @param words what `words()` of another column gave */
  constructor(words: Uint32Array<ArrayBuffer> = new Uint32Array(0)) {
    this.#words = words;
    this.#size = words.length / WORDS;
  }

  get size(): number {
    return this.#size;
  }

  /** Adds an id. Throws on a text that is no UUID in lower case. */
  push(id: string): void {
    const at = this.#size * WORDS;
    if (at === this.#words.length) {
      const larger = new Uint32Array(Math.max(1024 * WORDS, at * 2));
      larger.set(this.#words);
      this.#words = larger;
    }
    writeWords(id, this.#words, at);
    this.#size += 1;
  }

  /** The id of a row as text. */
  at(row: number): string {
    const words = this.#words.subarray(row * WORDS, (row + 1) * WORDS);
    const digits = Array.from(words, (word) => word.toString(16).padStart(8, '0')).join('');
    return [digits.slice(0, 8), digits.slice(8, 12), digits.slice(12, 16), digits.slice(16, 20), digits.slice(20)].join(
      '-',
    );
  }

  /** Compares the ids of two rows: negative, 0 or positive. */
  compare(a: number, b: number): number {
    return compareWords(this.#words, a * WORDS, this.#words, b * WORDS);
  }

  /**
   * Where an id is, or would have to stand, in rows that are ordered by id: the place of the first that does not come before it.
   *
   * @param order rows, lowest id first
   */
  placeIn(order: Int32Array, id: string): number {
    const wanted = new Uint32Array(WORDS);
    writeWords(id, wanted, 0);
    let [from, to] = [0, order.length];
    while (from < to) {
      const middle = (from + to) >>> 1;
      if (compareWords(this.#words, order[middle]! * WORDS, wanted, 0) < 0) from = middle + 1;
      else to = middle;
    }
    return from;
  }

  /** The ids as numbers, four a row; the column is used up. */
  words(): Uint32Array<ArrayBuffer> {
    return this.#words.subarray(0, this.#size * WORDS);
  }

  /** Both, the rows of the other after those of this one. */
  joined(other: IdColumn): IdColumn {
    const words = new Uint32Array((this.#size + other.#size) * WORDS);
    words.set(this.words());
    words.set(other.words(), this.#size * WORDS);
    return new IdColumn(words);
  }
}
