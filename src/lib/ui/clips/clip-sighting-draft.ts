import { utcInstant } from '$lib/records/instant.ts';
import type { Clip } from '$lib/records/record.ts';
import type { ClipTimes } from './clip-times.ts';

/** Where on a clip a runner was seen. */
export interface SeenOnClip {
  readonly clip: Clip;
  readonly times: ClipTimes;
  readonly passage: string;
  readonly frame: number;
  /** When the file was made, milliseconds since 1970: stands in where the clip shows no clock. */
  readonly madeMs: number;
}

/** The sighting in which a passage ends; what was seen of the runner comes in as it is. */
export function clipSightingDraft({ clip, times, passage, frame, madeMs }: SeenOnClip, seen: object): object {
  const clock = times.clockAt(frame);
  return {
    ...{ kind: 'sighting', checkpoint: clip.checkpoint, method: 'clip', clip: clip.clip, passage, frame, ...seen },
    observedAt: utcInstant(clock ?? madeMs + times.secondsAt(frame) * 1000),
    ...(clock === null ? { note: 'clock not set' } : {}),
  };
}
