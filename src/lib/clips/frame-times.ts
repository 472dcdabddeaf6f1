import type { Timing } from '../records/mark-words.ts';

/** Rates that cameras write, frames a second; each also divided by 1.001. */
const USUAL_RATES = [24, 25, 30, 50, 60, 100, 120, 200, 240, 480, 960];
/** A rate this near to a usual one is that one. */
const SAME_RATE = 0.001;
/** How far a time stamp may lie off the grid, seconds, beside one tick of the file: WebM rounds to milliseconds. */
const OFF_GRID_SECONDS = 0.001;

export interface FrameRate {
  readonly timing: Timing;
  /** Frames a second of the file's own time. */
  readonly fpsStored: number;
}

/** The usual rate that a measured one stands for, if it is within 0.1 % of one; else the measured one. */
export function usualRate(fps: number): number {
  let best = fps;
  let least = SAME_RATE;
  for (const usual of USUAL_RATES.flatMap((rate) => [rate, rate / 1.001])) {
    const off = Math.abs(fps / usual - 1);
    if (off <= least) [best, least] = [usual, off];
  }
  return best;
}

/**
 * The rate of a file's frames.
 *
 * @param times time of each frame in the file, whole microseconds from the first, rising; at least 2
 * @param tickSeconds the unit of the file's clock
 */
export function frameRateOf(times: ArrayLike<number>, tickSeconds: number): FrameRate {
  const last = times.length - 1;
  const seconds = (times[last]! - times[0]!) / 1e6;
  const fps = last / seconds;
  const off = (OFF_GRID_SECONDS + tickSeconds) * 1e6;
  for (let i = 0; i <= last; i += 1) {
    if (Math.abs(times[i]! - times[0]! - (i * 1e6) / fps) > off) {
      return { timing: 'listed', fpsStored: usualRate(1e6 / medianGap(times)) };
    }
  }
  return { timing: 'even', fpsStored: usualRate(fps) };
}

/** The median time between two frames, microseconds. */
export function medianGap(times: ArrayLike<number>): number {
  const gaps = Float64Array.from({ length: times.length - 1 }, (_, i) => times[i + 1]! - times[i]!).sort();
  const middle = gaps.length >> 1;
  return gaps.length % 2 === 1 ? gaps[middle]! : (gaps[middle - 1]! + gaps[middle]!) / 2;
}

/** Time of a frame since the frame before; of the first one, to the next. Microseconds. */
export function gapBefore(times: ArrayLike<number>, frame: number): number {
  return frame === 0 ? times[1]! - times[0]! : times[frame]! - times[frame - 1]!;
}

/** What tells recorded time from a file's frames. */
export interface RecordedClock extends FrameRate {
  readonly fpsRecorded: number;
}

/** Recorded time of a frame, seconds: even frame ÷ fpsRecorded, listed atUs · fpsStored ÷ fpsRecorded. */
export function recordedSeconds(
  { timing, fpsStored, fpsRecorded }: RecordedClock,
  frame: number,
  atUs: number,
): number {
  return timing === 'even' ? frame / fpsRecorded : (atUs / 1e6) * (fpsStored / fpsRecorded);
}

/** Recorded time between a frame and the one before, seconds. */
export function recordedGap({ timing, fpsStored, fpsRecorded }: RecordedClock, gapUs: number): number {
  return timing === 'even' ? 1 / fpsRecorded : (gapUs / 1e6) * (fpsStored / fpsRecorded);
}
