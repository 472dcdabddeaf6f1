import type { Gait } from '../../records/foot.ts';
import { median } from '../times/robust-line.ts';
import type { Passage } from '../../clips/passage.ts';
import { isOutside, PLAUSIBLE } from '../../clips/plausible-limits.ts';
import { readPassage } from '../../clips/read-passage.ts';
import { cadenceOf, LEAST_FPS_TIMES } from '../../clips/step-figures.ts';

/** How far a camera's rate and the one that was written down usually lie apart, the likelier first. */
const TIMES = [2, 1 / 2, 4, 1 / 4, 8, 1 / 8];
/** Frames a second that a clip may have been recorded at. */
const LEAST_FPS = 20;
const MOST_FPS = 1000;

/** A recorded rate at which nobody moves, and the one that would mend it. */
export interface RateInDoubt {
  readonly gait: Gait;
  /** Frames a second as they stand, and as they may have been. */
  readonly fps: number;
  readonly likelyFps: number;
  /** Median cadence of the passages at both rates, steps a minute. */
  readonly cadence: number;
  readonly likelyCadence: number;
}

/**
 * Whether the recorded rate of a clip is to be asked for: its median cadence is outside the limits, and at 2, 4 or 8 times
 * the rate, or their inverse, it is inside. Judged by those who run; in a clip of walkers alone by them. `null` when the
 * rate is no question. At a rate that is 4 times off no two contacts are a step any more, so that the marks are read anew
 * for each rate.
 *
 * @param passages of one clip at one checkpoint, so all of one rate
 */
export function rateInDoubt(passages: readonly Passage[]): RateInDoubt | null {
  const running = passages.filter(({ gait }) => gait === 'run');
  const judged = running.length > 0 ? running : passages;
  const first = judged[0];
  if (!first) return null;
  const { gait, fpsRecorded: fps } = first;
  const limits = PLAUSIBLE[gait].cadence!;
  const fits = (cadence: number | null): cadence is number => cadence !== null && !isOutside(cadence, limits);
  if (fits(medianCadence(judged, 1))) return null;
  for (const times of TIMES) {
    const likelyFps = fps * times;
    if (likelyFps < LEAST_FPS || likelyFps > MOST_FPS) continue;
    const likelyCadence = medianCadence(judged, times);
    if (fits(likelyCadence)) return { gait, fps, likelyFps, cadence: likelyCadence / times, likelyCadence };
  }
  return null;
}

/** Median cadence as if the camera had taken `times` as many frames a second, whatever that rate is enough for. */
function medianCadence(passages: readonly Passage[], times: number): number | null {
  const cadences = passages.flatMap((passage) => {
    const marks = passage.marks.map((mark) => ({ ...mark, recordedUs: mark.recordedUs / times }));
    return cadenceOf({ ...passage, fpsRecorded: LEAST_FPS_TIMES }, readPassage(marks))?.value ?? [];
  });
  return cadences.length > 0 ? median(cadences) : null;
}
