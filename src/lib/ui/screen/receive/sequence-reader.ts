import { pictureOf } from '../camera/video-pictures.ts';
import type { SequenceAnswer, SequenceAsked, SequenceHeard, UnpackedFile } from './sequence-messages.ts';

/** Collects a running sequence of codes in a worker, one question at a time. Pictures go nowhere else. */
export class SequenceReader {
  readonly #worker = new Worker(new URL('./sequence-worker.ts', import.meta.url), { type: 'module' });
  #waiting: { resolve: (answer: SequenceAnswer) => void; reject: (error: Error) => void } | null = null;
  #stopped = false;

  constructor() {
    this.#worker.onmessage = ({ data }: MessageEvent<SequenceAnswer>) => {
      if (data.kind === 'failed') this.#waiting?.reject(new Error(data.message));
      else this.#waiting?.resolve(data);
    };
    this.#worker.onerror = (event) => {
      this.#waiting?.reject(new Error(event.message || 'it could not start'));
    };
  }

  /**
   * What the code told that the video shows now. Rejects once stopped.
   *
   * @param where `square`: in the square in the middle, which takes half the time
   */
  async hear(video: HTMLVideoElement, where: 'square' | 'anywhere'): Promise<SequenceHeard> {
    const picture = await pictureOf(video);
    if (this.#stopped) picture.close();
    return this.#ask<'heard'>({ kind: 'picture', picture, square: where === 'square' }, [picture]);
  }

  /** Forgets what was collected. */
  beginAnew(): void {
    this.#worker.postMessage({ kind: 'anew' } satisfies SequenceAsked);
  }

  /** The file of the sequence that is whole; `null` when it is damaged. Rejects once stopped. */
  async unpack(): Promise<UnpackedFile | null> {
    return (await this.#ask<'unpacked'>({ kind: 'unpack' })).unpacked;
  }

  stop(): void {
    this.#stopped = true;
    this.#worker.terminate();
    this.#waiting?.reject(new Error('stopped'));
    this.#waiting = null;
  }

  /** The worker answers questions in their order, each with its own kind of answer. */
  #ask<Kind extends SequenceAnswer['kind']>(
    asked: SequenceAsked,
    handedOver: Transferable[] = [],
  ): Promise<Extract<SequenceAnswer, { kind: Kind }>> {
    return new Promise((resolve, reject) => {
      if (this.#stopped) return reject(new Error('stopped'));
      this.#waiting = { resolve: (answer) => resolve(answer as Extract<SequenceAnswer, { kind: Kind }>), reject };
      this.#worker.postMessage(asked, handedOver);
    });
  }
}
