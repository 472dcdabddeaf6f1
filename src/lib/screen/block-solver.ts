import { addInField, inverseInField, scaleInField } from './galois-field.ts';

/** What a sum told: something new, nothing new, or the opposite of what others told. */
export type SumTold = 'new' | 'known' | 'contradiction';

/**
 * Finds the blocks from sums of them as they come in, in any order: Gaussian elimination over GF(256), a row at a time.
 * Takes `blocks` · (`blocks` + `blockBytes`) bytes at most, however many sums come.
 */
export class BlockSolver {
  readonly #blocks: number;
  readonly #blockBytes: number;
  /** Row i begins with a 1 at place i: its factors, then its sum. */
  readonly #rows: (Uint8Array | undefined)[];
  #found = 0;

  constructor(blocks: number, blockBytes: number) {
    this.#blocks = blocks;
    this.#blockBytes = blockBytes;
    this.#rows = Array.from({ length: blocks });
  }

  /** How many of the `blocks` rows that are needed are there. */
  get found(): number {
    return this.#found;
  }

  /**
   * @param factors one for each block
   * @param sum the blocks' sum with these factors
   */
  add(factors: Uint8Array, sum: Uint8Array): SumTold {
    const row = new Uint8Array(this.#blocks + this.#blockBytes);
    row.set(factors);
    row.set(sum, this.#blocks);
    for (let place = 0; place < this.#blocks; place += 1) {
      const factor = row[place]!;
      if (factor === 0) continue;
      const known = this.#rows[place];
      if (!known) {
        scaleInField(row, inverseInField(factor), place);
        this.#rows[place] = row;
        this.#found += 1;
        return 'new';
      }
      addInField(row, known, factor, place);
    }
    return row.every((byte) => byte === 0) ? 'known' : 'contradiction';
  }

  /** All blocks end to end. Only when `found` is the number of blocks; it ends the solver. */
  solve(): Uint8Array {
    if (this.#found < this.#blocks) throw new Error('blocks are still missing');
    const rows = this.#rows as readonly Uint8Array[];
    const all = new Uint8Array(this.#blocks * this.#blockBytes);
    // From the last row up: the rows below are plain blocks by then.
    for (let place = this.#blocks - 1; place >= 0; place -= 1) {
      const row = rows[place]!;
      const block = row.subarray(this.#blocks);
      for (let later = place + 1; later < this.#blocks; later += 1) {
        addInField(block, rows[later]!.subarray(this.#blocks), row[later]!);
      }
      all.set(block, place * this.#blockBytes);
    }
    return all;
  }
}
