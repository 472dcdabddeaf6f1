import { blockFactors } from './block-factors.ts';
import { BlockSolver } from './block-solver.ts';
import { blocksOf } from './block-sums.ts';
import { readFrame, type Frame } from './frame.ts';

/**
 * What a code was: nothing of ours, of a newer version, another sequence's, a part that was there, a new part, the last
 * part, or one that contradicts the others.
 */
export type CodeHeard = 'nothing' | 'newer' | 'other' | 'known' | 'new' | 'whole' | 'contradiction';

/**
 * Collects the frames of one running sequence. The first whole frame says which: session, length and size of the blocks;
 * frames that differ in one of them are another sequence's.
 */
export class FrameCollector {
  #first: Frame | null = null;
  #solver: BlockSolver | null = null;
  #parts = 0;
  #payload: Uint8Array | null = null;

  /** Different parts that were got. */
  get parts(): number {
    return this.#parts;
  }
  /** Parts that are needed; 0 before the first. */
  get needed(): number {
    return this.#first ? blocksOf(this.#first.payloadBytes, this.#first.block.length) : 0;
  }
  /** The payload, once whole. */
  get payload(): Uint8Array | null {
    return this.#payload;
  }

  /** Takes the text of a code. */
  take(text: string): CodeHeard {
    const frame = readFrame(text);
    if (frame === null) return 'nothing';
    if (frame === 'newer') return 'newer';
    this.#first ??= frame;
    if (!sameSequence(this.#first, frame)) return 'other';
    if (this.#payload) return 'known';
    const blocks = this.needed;
    const solver = (this.#solver ??= new BlockSolver(blocks, frame.block.length));
    const told = solver.add(blockFactors(frame.session, frame.n, blocks), frame.block);
    if (told !== 'new') return told;
    this.#parts = solver.found;
    if (solver.found < blocks) return 'new';
    this.#payload = solver.solve().subarray(0, frame.payloadBytes);
    this.#solver = null;
    return 'whole';
  }
}

function sameSequence(a: Frame, b: Frame): boolean {
  return a.session === b.session && a.payloadBytes === b.payloadBytes && a.block.length === b.block.length;
}
