/** Share of the bound of memory that pictures ready to draw may take, as bytes. */
const MOST_READY_BYTES = 32 * 2 ** 20;
const MOST_READY = 4;
/** A picture ready to draw has its colours in four bytes a pixel. */
const BYTES_A_PIXEL = 4;

/**
 * Pictures of the frames beside the present one, with their colours worked out ahead. A decoded frame keeps brightness and
 * colour apart; putting them together takes most of the time of a step, and is done while nobody asks.
 */
export class ReadyPictures {
  readonly #pictures = new Map<number, ImageBitmap>();
  readonly #making = new Set<number>();
  readonly #pictureBytes: number;
  #most: number;
  #closed = false;

  /** @param pixels of one picture */
  constructor(pixels: number) {
    this.#pictureBytes = pixels * BYTES_A_PIXEL;
    this.#most = Math.min(MOST_READY, Math.floor(MOST_READY_BYTES / this.#pictureBytes));
  }

  get bytes(): number {
    return this.#pictures.size * this.#pictureBytes;
  }

  /** The most that `bytes` comes to. */
  get mostBytes(): number {
    return this.#most * this.#pictureBytes;
  }

  get(frame: number): ImageBitmap | undefined {
    return this.#pictures.get(frame);
  }

  /** Whoever stands at a frame and goes in a direction is next to see these: what is held of others is let go. */
  lookFrom(frame: number, direction: 1 | -1): readonly number[] {
    const near = [frame + direction, frame, frame + 2 * direction, frame - direction].slice(0, this.#most);
    for (const [held, picture] of this.#pictures) {
      if (near.includes(held)) continue;
      picture.close();
      this.#pictures.delete(held);
    }
    return near.filter((one) => one !== frame && !this.#pictures.has(one));
  }

  /** Makes a picture of a frame, unless there is one or it is being made. */
  async make(frame: number, decoded: VideoFrame): Promise<void> {
    if (this.#pictures.has(frame) || this.#making.has(frame)) return;
    this.#making.add(frame);
    try {
      const picture = await createImageBitmap(decoded);
      if (this.#closed || this.#pictures.size >= this.#most) picture.close();
      else this.#pictures.set(frame, picture);
    } catch {
      // Memory was refused, unless the frame itself has gone: from now on frames are drawn as they were decoded.
      if (decoded.format !== null) this.giveUp();
    } finally {
      this.#making.delete(frame);
    }
  }

  /** Where memory is short there are none. */
  giveUp(): void {
    this.#most = 0;
    this.#clear();
  }

  close(): void {
    this.#closed = true;
    this.#clear();
  }

  #clear(): void {
    for (const picture of this.#pictures.values()) picture.close();
    this.#pictures.clear();
  }
}
