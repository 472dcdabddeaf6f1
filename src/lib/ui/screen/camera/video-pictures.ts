const LONGEST_WAIT_MS = 200;

/**
 * Tells when a video shows a picture that was not taken yet. It goes on counting while one is looked into: who takes longer
 * than a picture lasts gets the next at once, and does not wait for the one after.
 */
export class VideoPictures {
  readonly #video: HTMLVideoElement;
  #fresh = false;
  #stopped = false;
  #tell: (() => void) | null = null;

  constructor(video: HTMLVideoElement) {
    this.#video = video;
    this.#watch();
  }

  #watch(): void {
    const shown = () => {
      if (this.#stopped) return;
      this.#fresh = true;
      this.#tell?.();
      this.#watch();
    };
    if ('requestVideoFrameCallback' in this.#video) this.#video.requestVideoFrameCallback(shown);
    else requestAnimationFrame(shown);
  }

  /** Waits for such a picture, at most a fifth of a second: a camera that stalls must not hang the rest. */
  async next(): Promise<void> {
    if (!this.#fresh) {
      await new Promise<void>((resolve) => {
        const timer = setTimeout(resolve, LONGEST_WAIT_MS);
        this.#tell = () => {
          clearTimeout(timer);
          resolve();
        };
      });
    }
    this.#tell = null;
    this.#fresh = false;
  }

  stop(): void {
    this.#stopped = true;
  }
}

/** What a video shows now: without a copy where the browser can, which it may not on plain http. */
export async function pictureOf(video: HTMLVideoElement): Promise<ImageBitmap | VideoFrame> {
  return 'VideoFrame' in window ? new VideoFrame(video) : createImageBitmap(video);
}
