import { blockFactors } from './block-factors.ts';
import { addInField } from './galois-field.ts';

/** A payload cut into blocks, from which every frame takes a block or a sum of blocks. */
export class BlockSums {
  readonly #blocks: readonly Uint8Array[];
  readonly #session: number;

  /**
   * @param payload at least one byte; the last block is filled up with 0
   * @param blockBytes bytes of a block
   * @param session 32 bits, new for each showing
   */
  constructor(payload: Uint8Array, blockBytes: number, session: number) {
    this.#session = session;
    this.#blocks = Array.from({ length: blocksOf(payload.length, blockBytes) }, (_, i) => {
      const block = new Uint8Array(blockBytes);
      block.set(payload.subarray(i * blockBytes, (i + 1) * blockBytes));
      return block;
    });
  }

  get blocks(): number {
    return this.#blocks.length;
  }

  /** What frame `n` carries: block n, or from the number of blocks on a sum of all of them over GF(256). */
  sum(n: number): Uint8Array {
    const own = this.#blocks[n];
    if (own) return own;
    const factors = blockFactors(this.#session, n, this.#blocks.length);
    const sum = new Uint8Array(this.#blocks[0]!.length);
    this.#blocks.forEach((block, i) => addInField(sum, block, factors[i]!));
    return sum;
  }
}

/** Blocks of `blockBytes` bytes that `payloadBytes` bytes fill. */
export function blocksOf(payloadBytes: number, blockBytes: number): number {
  return Math.ceil(payloadBytes / blockBytes);
}
