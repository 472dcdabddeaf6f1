import { slipProbability, USUAL_ERRORS, type ErrorTable, type Slip } from './error-table.ts';
import { MISREAD } from './misread-model.ts';

/** A bib that may have been misread, and the probability that a misreading of it gives what was read. */
export interface Neighbour {
  /** Index into the list of bibs. */
  readonly bib: number;
  readonly probability: number;
}

/** The slips that turn one bib into what was read. */
export interface Slips {
  /** Index into the list of bibs. */
  readonly bib: number;
  readonly slips: readonly Slip[];
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
  /** Of the bibs that there are: where none has a length, none of it need be looked up. */
  readonly #lengths: ReadonlySet<number>;
  readonly #alphabet: string[];
  readonly #known = new Map<string, readonly Slips[]>();

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
    this.#lengths = new Set(bibs.map(({ length }) => length));
  }

  /**
   * All bibs other than `read` itself that may have been misread as `read`, in no particular order. `probability` is that
   * of reading `read` when this bib is misread, and so does not sum to 1.
   */
  of(read: string, errors: ErrorTable = USUAL_ERRORS): readonly Neighbour[] {
    return this.slipsTo(read).map(({ bib, slips }) => ({
      bib,
      probability: slips.reduce((sum, slip) => sum + slipProbability(errors, slip), 0),
    }));
  }

  /** As `of`, with the slips themselves. */
  slipsTo(read: string): readonly Slips[] {
    let found = this.#known.get(read);
    if (!found) this.#known.set(read, (found = this.#find(read)));
    return found;
  }

  #find(read: string): Slips[] {
    const found = new Map<number, Slip[]>();
    const add = (shown: string, slip: Slip) => {
      const bib = shown === read ? undefined : this.#index.get(shown);
      if (bib === undefined) return;
      const slips = found.get(bib);
      if (slips) slips.push(slip);
      else found.set(bib, [slip]);
    };
    const n = read.length;
    for (let i = 0; i < n; i += 1) {
      const head = read.slice(0, i);
      const tail = read.slice(i + 1);
      const here = read[i]!;
      for (const shown of this.#alphabet) {
        if (shown !== here && this.#lengths.has(n - 1 + shown.length))
          add(head + shown + tail, { kind: 'character', chance: 1 / n, shown, read: here });
      }
      if (i + 1 < n) add(head + read[i + 1]! + here + read.slice(i + 2), { kind: 'swapped', chance: 1 / (n - 1) });
      // The runner's bib lacks this character: it was added, most often by doubling the one before.
      if (n > 1) {
        const doubled = i > 0 && here === read[i - 1];
        const share = doubled ? MISREAD.addedIsDoubled : (1 - MISREAD.addedIsDoubled) / this.#alphabet.length;
        add(head + tail, { kind: 'added', chance: share / (n - 1) });
      }
    }
    // The runner's bib has one character more, which was dropped.
    for (let i = 0; i <= n; i += 1) {
      for (const shown of this.#alphabet) {
        if (this.#lengths.has(n + shown.length))
          add(read.slice(0, i) + shown + read.slice(i), { kind: 'dropped', chance: 1 / (n + 1) });
      }
    }
    for (const bib of this.#zeroless.get(withoutZeros(read)) ?? []) {
      if (this.#index.get(read) === bib) continue;
      const zeros: Slip = { kind: 'zeros', chance: 1 };
      const slips = found.get(bib);
      if (slips) slips.push(zeros);
      else found.set(bib, [zeros]);
    }
    if (read.startsWith('0')) add(withoutZeros(read), { kind: 'zeros', chance: 1 });
    return [...found].map(([bib, slips]) => ({ bib, slips }));
  }
}

/** The single slips that turn `meant` into `read`; none where it takes more than one. */
export function slipsBetween(meant: string, read: string): readonly Slip[] {
  return new BibNeighbours([meant]).slipsTo(read)[0]?.slips ?? [];
}
