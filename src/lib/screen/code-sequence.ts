import { BlockSums } from './block-sums.ts';
import { CODE_SIZES, type CodeSizeName } from './code-size.ts';
import { frameText, LAST_FRAME } from './frame.ts';
import { SCREEN_LIMITS } from './screen-limits.ts';

/** A payload as an endless row of codes, any `blocks` different ones of which give it back. */
export class CodeSequence {
  readonly qrVersion: number;
  readonly #sums: BlockSums;
  readonly #session: number;
  readonly #payloadBytes: number;

  /**
   * @param payload at least one byte
   * @param session 32 random bits, new for each showing
   */
  constructor(payload: Uint8Array, size: CodeSizeName, session: number) {
    const { qrVersion, blockBytes } = CODE_SIZES[size];
    this.qrVersion = qrVersion;
    this.#sums = new BlockSums(payload, blockBytes, session);
    this.#session = session >>> 0;
    this.#payloadBytes = payload.length;
  }

  /** How many different codes are needed. */
  get blocks(): number {
    return this.#sums.blocks;
  }
  /** Whether a code of this size can carry the payload at all. */
  get fits(): boolean {
    return this.blocks <= SCREEN_LIMITS.blocks;
  }

  /** The text of code `n`, 0, 1, 2 … */
  text(n: number): string {
    const number = n % (LAST_FRAME + 1);
    return frameText({
      session: this.#session,
      payloadBytes: this.#payloadBytes,
      n: number,
      block: this.#sums.sum(number),
    });
  }
}
