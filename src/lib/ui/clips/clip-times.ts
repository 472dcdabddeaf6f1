import { nearestFrame } from '$lib/clips/expected-contact.ts';
import { recordedSeconds } from '$lib/clips/frame-times.ts';
import type { Clip } from '$lib/records/record.ts';
import type { Film } from './film.svelte.ts';

/** The times of a clip's frames, by what stands of the clip now. */
export class ClipTimes {
  readonly #film: Film;
  readonly #clip: () => Clip | undefined;

  constructor(film: Film, clip: () => Clip | undefined) {
    this.#film = film;
    this.#clip = clip;
  }

  /** Recorded time of a frame, seconds; of the file where the rate is not known yet. */
  secondsAt(frame: number): number {
    const at = this.#film.atUs(frame);
    const clip = this.#clip();
    return clip ? recordedSeconds(clip, frame, at) : at / 1e6;
  }

  /** Clock time of a frame, milliseconds since 1970; `null` without a slate. */
  clockAt(frame: number): number | null {
    const clip = this.#clip();
    if (clip?.slateAt === undefined || clip.slateFrame === undefined) return null;
    return Date.parse(clip.slateAt) + (this.secondsAt(frame) - this.secondsAt(clip.slateFrame)) * 1000;
  }

  /** The frame at a clock time; `null` without a slate or outside the clip. */
  frameAtClock(ms: number): number | null {
    const [first, last] = [this.clockAt(0), this.clockAt(this.#film.frames - 1)];
    if (first === null || last === null || ms < first || ms > last) return null;
    const { times } = this.#film.opened.clip;
    return nearestFrame(times, (times[times.length - 1]! * (ms - first)) / (last - first));
  }
}
