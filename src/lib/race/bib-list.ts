import { compareCodePoints } from '../records/code-point-order.ts';

/** The bibs of a start list, ready to be asked at every key press: searches are binary, never a scan. */
export class BibList {
  readonly #sorted: readonly string[];
  readonly #all: ReadonlySet<string>;
  /** Characters other than digits that occur in the bibs, in code-point order: the letters the bib pad needs. */
  readonly letters: readonly string[];

  constructor(bibs: Iterable<string>) {
    this.#all = new Set(bibs);
    this.#sorted = [...this.#all].sort(compareCodePoints);
    const characters = new Set<string>();
    for (const bib of this.#sorted) for (const character of bib) if (!isDigit(character)) characters.add(character);
    this.letters = [...characters].sort(compareCodePoints);
  }

  /** Number of bibs; with 0 there is no start list and nothing is said about bibs. */
  get size(): number {
    return this.#sorted.length;
  }

  has(bib: string): boolean {
    return this.#all.has(bib);
  }

  /** Whether a longer bib begins with this text. */
  beginsAnother(text: string): boolean {
    const first = this.#firstFrom(text);
    const next = this.#sorted[first] === text ? this.#sorted[first + 1] : this.#sorted[first];
    return next?.startsWith(text) ?? false;
  }

  /** Longer bibs that begin with this text, in order, up to `limit` of those that `wanted` lets through. */
  completions(text: string, limit: number, wanted: (bib: string) => boolean = () => true): string[] {
    const found: string[] = [];
    for (let i = this.#firstFrom(text); i < this.#sorted.length && found.length < limit; i += 1) {
      const bib = this.#sorted[i]!;
      if (!bib.startsWith(text)) break;
      if (bib !== text && wanted(bib)) found.push(bib);
    }
    return found;
  }

  /** How the list writes a typed character: a letter typed small counts as the capital when only that occurs. */
  spelling(character: string): string | undefined {
    if (isDigit(character)) return character;
    return this.letters.find((l) => l === character) ?? this.letters.find((l) => sameLetter(l, character));
  }

  #firstFrom(text: string): number {
    let low = 0;
    let high = this.#sorted.length;
    while (low < high) {
      const middle = (low + high) >>> 1;
      if (compareCodePoints(this.#sorted[middle]!, text) < 0) low = middle + 1;
      else high = middle;
    }
    return low;
  }
}

const isDigit = (character: string) => character >= '0' && character <= '9' && character.length === 1;
const sameLetter = (a: string, b: string) => a.toLowerCase() === b.toLowerCase();
