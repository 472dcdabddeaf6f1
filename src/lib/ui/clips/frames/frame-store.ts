/** A decoded frame of some size that has to be freed. */
export interface HeldFrame {
  close(): void;
}

const LEAST_KEPT = 8;

/** Decoded frames around the present one, bounded in bytes: the ones furthest from it go first. */
export class FrameStore<Frame extends HeldFrame> {
  readonly #frames = new Map<number, Frame>();
  readonly #frameBytes: number;
  #most: number;
  #centre = 0;
  #squeezed = false;

  /**
   * @param frameBytes size of one frame
   * @param mostBytes bound of all
   * @param mostFrames bound of their number
   */
  constructor(frameBytes: number, mostBytes: number, mostFrames: number) {
    this.#frameBytes = frameBytes;
    this.#most = Math.max(1, Math.min(mostFrames, Math.floor(mostBytes / frameBytes)));
  }

  get capacity(): number {
    return this.#most;
  }

  get bytes(): number {
    return this.#frames.size * this.#frameBytes;
  }

  /** Whether memory was refused. */
  get squeezed(): boolean {
    return this.#squeezed;
  }

  get(frame: number): Frame | undefined {
    return this.#frames.get(frame);
  }

  has(frame: number): boolean {
    return this.#frames.has(frame);
  }

  /** The frame that is looked at: others are kept by their distance from it. */
  centre(frame: number): void {
    this.#centre = frame;
  }

  put(frame: number, held: Frame): void {
    this.#frames.get(frame)?.close();
    this.#frames.set(frame, held);
    this.#shrink();
  }

  /** Memory was refused: half as many from now on, down to 8, then one by one. Whether there was anything to give up. */
  squeeze(): boolean {
    this.#squeezed = true;
    if (this.#most === 1) return false;
    this.#most = this.#most > LEAST_KEPT ? Math.max(LEAST_KEPT, this.#most >> 1) : this.#most - 1;
    this.#shrink();
    return true;
  }

  clear(): void {
    for (const held of this.#frames.values()) held.close();
    this.#frames.clear();
  }

  #shrink(): void {
    while (this.#frames.size > this.#most) {
      let furthest = -1;
      let distance = -1;
      for (const frame of this.#frames.keys()) {
        const apart = Math.abs(frame - this.#centre);
        if (apart > distance) [furthest, distance] = [frame, apart];
      }
      this.#frames.get(furthest)?.close();
      this.#frames.delete(furthest);
    }
  }
}
