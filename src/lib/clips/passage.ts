import type { Gait } from '../records/foot.ts';
import type { MarkEvent, PointName, Side } from '../records/mark-words.ts';

/** Towards the lens, or away from it. */
export const NEARNESSES = ['near', 'far'] as const;
export type Nearness = (typeof NEARNESSES)[number];

/** A point of the picture in tenths of a display pixel from the top left, whole numbers, so that lengths compare exactly. */
export interface PicturePoint {
  readonly x: number;
  readonly y: number;
}

/** One event of one foot in one frame, with its place in recorded time. */
export interface PassageMark {
  readonly id: string;
  readonly foot: Side;
  readonly event: MarkEvent;
  /** Frame in presentation order, from 0. */
  readonly frame: number;
  /** Recorded time since the first frame, whole microseconds. */
  readonly recordedUs: number;
  /** Recorded time between this frame and the one before, seconds: how far off the event may be. */
  readonly gapSeconds: number;
  readonly points: Readonly<Partial<Record<PointName, PicturePoint>>>;
  /** Hidden or blurred: kept, and used in no figure. */
  readonly doubtful: boolean;
  readonly madeAtMs: number;
}

/** One runner's way through one clip as one observer reviewed it. */
export interface Passage {
  readonly id: string;
  readonly clip: string;
  /** Name of the checkpoint. */
  readonly checkpoint: string;
  readonly observer: string;
  /** The sighting that the passage ended in; `null` when there is none, or none that stands. */
  readonly sightingId: string | null;
  /** `null`: nobody could read it. */
  readonly bib: string | null;
  readonly gait: Gait;
  /** Where runners go in the picture. */
  readonly direction: Side;
  /** The foot towards the lens. */
  readonly nearFoot: Side;
  /** Frames a second that the camera took. */
  readonly fpsRecorded: number;
  /** Tilt of something level in the picture, degrees, positive when it rises to the right. */
  readonly levelDegrees: number;
  /** Degrees between the lens and the perpendicular to the running line, 0 to 45. */
  readonly lensOffDegrees: number;
  /** In any order. */
  readonly marks: readonly PassageMark[];
}

/** All passages of a race as their marks stand, and what was taken out before them. */
export interface PassageTable {
  /** Every checkpoint with a passage. */
  readonly checkpoints: readonly { readonly name: string; readonly km: number }[];
  readonly passages: readonly Passage[];
  /** Marks met again with the same content, by name of checkpoint. */
  readonly metAgain: ReadonlyMap<string, number>;
  /** Marks beyond the last frame of their clip, by name of checkpoint. */
  readonly outside: ReadonlyMap<string, number>;
}

export const nearnessOf = ({ nearFoot }: Pick<Passage, 'nearFoot'>, foot: Side): Nearness =>
  foot === nearFoot ? 'near' : 'far';
