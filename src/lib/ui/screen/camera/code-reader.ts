import type { CodeAnswer, CodeAsked } from './code-messages.ts';
import { pictureOf } from './video-pictures.ts';

/** Reads codes in what a video element shows, in a worker, one picture at a time. Pictures go nowhere else. */
export class CodeReader {
  readonly #worker = new Worker(new URL('./code-worker.ts', import.meta.url), { type: 'module' });
  #ask = 0;
  #waiting: { resolve: (text: string | null) => void; reject: (error: Error) => void } | null = null;

  constructor() {
    this.#worker.onmessage = ({ data }: MessageEvent<CodeAnswer>) => {
      if (data.ask !== this.#ask) return;
      if (data.fault === undefined) this.#waiting?.resolve(data.text);
      else this.#waiting?.reject(new Error(data.fault));
    };
    this.#worker.onerror = (event) => {
      this.#waiting?.reject(new Error(event.message || 'the reader of codes could not start'));
    };
  }

  /**
   * The text of the code that the video shows now; `null` when there is none, and once stopped.
   *
   * @param where `square`: in the square in the middle, which takes half the time
   */
  async read(video: HTMLVideoElement, where: 'square' | 'anywhere'): Promise<string | null> {
    const picture = await pictureOf(video);
    this.#ask += 1;
    return new Promise((resolve, reject) => {
      this.#waiting = { resolve, reject };
      this.#worker.postMessage({ ask: this.#ask, picture, square: where === 'square' } satisfies CodeAsked, [picture]);
    });
  }

  stop(): void {
    this.#worker.terminate();
    this.#waiting?.resolve(null);
    this.#waiting = null;
  }
}
