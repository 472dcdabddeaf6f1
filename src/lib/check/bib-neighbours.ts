import { characterMisread, MISREAD } from './misread-model.ts';

/** A bib that may have been misread, and the probability that a misreading of it gives what was read. */
export interface Neighbour {
  /** Index into the list of bibs. */
  readonly bib: number;
  readonly probability: number;
}

const withoutZeros = (bib: string) => bib.replace(/^0+(?=.)/, '');

/**
 * Finds the bibs that one slip of the eye or the finger turns into what was read: one character taken for another, two
 * neighbours swapped, one dropped, one added or doubled, leading zeros lost. Each possible slip is undone and looked up,
 * so the cost grows with the length of the bib and not with the number of starters.
 */
export class BibNeighbours {
  readonly #index = new Map<string, number>();
  readonly #zeroless = new Map<string, number[]>();
  readonly #alphabet: string[];
  readonly #known = new Map<string, readonly Neighbour[]>();

  /** @param bibs the bibs that may be meant, each once */
  constructor(bibs: readonly string[]) {
    const alphabet = new Set<string>('0123456789');
    bibs.forEach((bib, i) => {
      this.#index.set(bib, i);
      if (bib.startsWith('0')) {
        const plain = withoutZeros(bib);
        const group = this.#zeroless.get(plain);
        if (group) group.push(i);
        else this.#zeroless.set(plain, [i]);
      }
      for (const character of bib) alphabet.add(character);
    });
    this.#alphabet = [...alphabet];
  }

  /**
   * All bibs other than `read` itself that may have been misread as `read`, in no particular order. `probability` is that
   * of reading `read` when this bib is misread, and so does not sum to 1.
   */
  of(read: string): readonly Neighbour[] {
    let found = this.#known.get(read);
    if (!found) this.#known.set(read, (found = this.#find(read)));
    return found;
  }

  #find(read: string): Neighbour[] {
    const sum = new Map<number, number>();
    const add = (shown: string, probability: number) => {
      const bib = shown === read ? undefined : this.#index.get(shown);
      if (bib !== undefined) sum.set(bib, (sum.get(bib) ?? 0) + probability);
    };
    const n = read.length;
    for (let i = 0; i < n; i += 1) {
      const head = read.slice(0, i);
      const tail = read.slice(i + 1);
      const here = read[i]!;
      for (const shown of this.#alphabet) {
        if (shown !== here) add(head + shown + tail, (MISREAD.oneDigit / n) * characterMisread(shown, here));
      }
      if (i + 1 < n) add(head + read[i + 1]! + here + read.slice(i + 2), MISREAD.swapped / (n - 1));
      // The runner's bib lacks this character: it was added, most often by doubling the one before.
      if (n > 1) {
        const doubled = i > 0 && here === read[i - 1];
        const share = doubled ? MISREAD.addedIsDoubled : (1 - MISREAD.addedIsDoubled) / this.#alphabet.length;
        add(head + tail, (MISREAD.added / (n - 1)) * share);
      }
    }
    // The runner's bib has one character more, which was dropped.
    for (let i = 0; i <= n; i += 1) {
      for (const shown of this.#alphabet) add(read.slice(0, i) + shown + read.slice(i), MISREAD.dropped / (n + 1));
    }
    for (const bib of this.#zeroless.get(withoutZeros(read)) ?? []) {
      if (this.#index.get(read) !== bib) sum.set(bib, (sum.get(bib) ?? 0) + MISREAD.zerosDropped);
    }
    if (read.startsWith('0')) add(withoutZeros(read), MISREAD.zerosDropped);
    return [...sum].map(([bib, probability]) => ({ bib, probability }));
  }
}
