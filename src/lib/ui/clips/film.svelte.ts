import type { ShownFrame } from './frames/frame-source.ts';
import type { OpenedFrames } from './frames/open-frames.ts';

/** Where the picture of an open clip stands, and how it is moved. */
export class Film {
  readonly opened: OpenedFrames;
  readonly #onshow: () => void;
  #target = $state(0);
  #shown = $state(-1);
  #exact = $state(true);
  #fault = $state('');
  #isMemoryShort = $state(false);
  #draw: (frame: ShownFrame) => void = () => {};
  #following = false;
  #direction: 1 | -1 = 1;

  /** @param onshow told whenever another frame is shown */
  constructor(opened: OpenedFrames, onshow: () => void) {
    this.opened = opened;
    this.#onshow = onshow;
  }

  /** The frame that is shown; −1 before the first. */
  get frame(): number {
    return this.#shown;
  }
  /** The frame that was asked for last. */
  get target(): number {
    return this.#target;
  }
  get frames(): number {
    return this.opened.clip.facts.frames;
  }
  /** Whether the frame that was asked for is shown, and certainly that one: any other takes no mark. */
  get isSure(): boolean {
    return this.#exact && this.#shown >= 0 && this.#shown === this.#target;
  }
  get exact(): boolean {
    return this.#exact;
  }
  get fault(): string {
    return this.#fault;
  }
  /** Whether memory was refused and fewer frames are held. */
  get isMemoryShort(): boolean {
    return this.#isMemoryShort;
  }
  /** The file's own time of a frame since frame 0, microseconds. */
  atUs(frame: number): number {
    return this.opened.clip.times[Math.min(this.frames - 1, Math.max(0, frame))]!;
  }

  /** Draws the present frame and all that follow; returns what lets go of the file and of every frame held. */
  start(draw: (frame: ShownFrame) => void): () => void {
    this.#draw = draw;
    void this.#follow();
    return () => {
      this.opened.frames.close();
      this.opened.clip.close();
    };
  }

  step(frames: number): void {
    this.goTo(this.#target + frames);
  }

  /** For a key that is held: the next frame only once the last one is shown, so that it stops when the key is let go. */
  stepWhenShown(frames: number): void {
    if (this.#shown === this.#target) this.step(frames);
  }

  goTo(frame: number): void {
    const target = Math.min(this.frames - 1, Math.max(0, Math.round(frame)));
    this.#direction = target < this.#target ? -1 : 1;
    this.#target = target;
    void this.#follow();
  }

  /** To the nearest of some places that lies beyond the present one; whether there was any. */
  goToNext(places: readonly number[], direction: 1 | -1): boolean {
    const ahead = places.filter((place) => (direction > 0 ? place > this.#target : place < this.#target));
    if (ahead.length === 0) return false;
    this.goTo(direction > 0 ? Math.min(...ahead) : Math.max(...ahead));
    return true;
  }

  async #follow(): Promise<void> {
    if (this.#following) return;
    this.#following = true;
    try {
      while (this.#shown !== this.#target) {
        const shown = await this.opened.frames.show(this.#target);
        // Only a source that is closed has nothing to show here.
        if (!shown) return;
        this.#draw(shown);
        this.#exact = shown.exact;
        this.#shown = shown.frame;
        this.#isMemoryShort = this.opened.frames.squeezed;
        this.#fault = '';
        this.#onshow();
      }
      this.opened.frames.readAhead(this.#shown, this.#direction);
    } catch (error) {
      this.#fault = `This frame cannot be shown: ${error instanceof Error ? error.message : String(error)}`;
      this.#target = Math.max(0, this.#shown);
    } finally {
      this.#following = false;
    }
  }
}
