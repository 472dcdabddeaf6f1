import type { ReadClip } from '$lib/video/read-clip.ts';
import type { FrameSource, ShownFrame } from './frame-source.ts';

/** Longest wait for a seek; then the frame is shown as not exact. */
const MOST_WAIT_MS = 5000;

/**
 * Frames by the browser's picture element, where there is no decoder to ask. It is sent to the middle of a frame's time; the
 * time of the picture it then shows is held against the list of frames.
 */
export class ElementFrames implements FrameSource {
  readonly kind = 'element';
  readonly heldBytes = 0;
  readonly squeezed = false;
  readonly #clip: ReadClip;
  readonly #video: HTMLVideoElement;
  readonly #address: string;
  #turn = 0;
  #busy: Promise<unknown> = Promise.resolve();

  private constructor(clip: ReadClip, video: HTMLVideoElement, address: string) {
    this.#clip = clip;
    this.#video = video;
    this.#address = address;
  }

  /** `null` where the browser cannot show the file. */
  static async open(clip: ReadClip, blob: Blob): Promise<ElementFrames | null> {
    const video = document.createElement('video');
    video.muted = true;
    video.playsInline = true;
    video.preload = 'auto';
    const address = URL.createObjectURL(blob);
    const ready = new Promise<boolean>((resolve) => {
      video.addEventListener('loadeddata', () => resolve(true), { once: true });
      video.addEventListener('error', () => resolve(false), { once: true });
    });
    video.src = address;
    if (await ready) return new ElementFrames(clip, video, address);
    URL.revokeObjectURL(address);
    return null;
  }

  async show(frame: number): Promise<ShownFrame | null> {
    const turn = (this.#turn += 1);
    const done = this.#busy.then(async () => (turn === this.#turn ? await this.#seek(frame) : null));
    this.#busy = done.catch(() => null);
    const mediaTime = await done;
    if (turn !== this.#turn) return null;
    return { frame, picture: this.#video, turn: 0, exact: mediaTime !== null && this.#isAt(mediaTime, frame) };
  }

  readAhead(): void {
    // The element decides itself what it holds.
  }

  close(): void {
    this.#turn += 1;
    this.#video.removeAttribute('src');
    this.#video.load();
    URL.revokeObjectURL(this.#address);
  }

  /** Time of the frame's picture in the file, seconds. */
  #secondsOf(frame: number): number {
    return (this.#clip.times[frame]! + this.#clip.firstUs) / 1e6;
  }

  #isAt(mediaTime: number, frame: number): boolean {
    const { times } = this.#clip;
    const before = frame === 0 ? times[1]! - times[0]! : times[frame]! - times[frame - 1]!;
    const after = frame + 1 < times.length ? times[frame + 1]! - times[frame]! : before;
    return Math.abs(mediaTime - this.#secondsOf(frame)) < Math.min(before, after) / 2e6;
  }

  /** Sends the element to the middle of a frame; the time of the picture it shows then, or `null` when it cannot tell. */
  async #seek(frame: number): Promise<number | null> {
    const { times } = this.#clip;
    const last = times.length - 1;
    const gap = frame < last ? times[frame + 1]! - times[frame]! : times[last]! - times[last - 1]!;
    const video = this.#video;
    const seconds = this.#secondsOf(frame) + gap / 2e6;
    const tells = typeof video.requestVideoFrameCallback === 'function';
    return new Promise((resolve) => {
      const timer = setTimeout(() => resolve(null), MOST_WAIT_MS);
      const finish = (mediaTime: number | null) => {
        clearTimeout(timer);
        resolve(mediaTime);
      };
      if (tells) video.requestVideoFrameCallback((_, { mediaTime }) => finish(mediaTime));
      // At an even rate the middle of a frame is that frame, also where the browser does not say so.
      else video.addEventListener('seeked', () => finish(this.#evenSeconds(frame)), { once: true });
      video.currentTime = seconds;
    });
  }

  #evenSeconds(frame: number): number | null {
    return this.#clip.facts.timing === 'even' ? this.#secondsOf(frame) : null;
  }
}
