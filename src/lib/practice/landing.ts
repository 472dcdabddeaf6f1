import type { FootClass } from '../records/foot.ts';
import type { LevelNumber } from './practice-levels.ts';

/** Which of the runner's feet, as the observer stands. */
export type FootSide = 'near' | 'far';

/** One landing of one foot, with all that its drawing needs. */
export interface Landing {
  /** `d001` and so on, in the order of showing. */
  readonly item: string;
  readonly class: FootClass;
  readonly foot: FootSide;
  /** Which way the runner goes on the screen. */
  readonly direction: 'right' | 'left';
  /** Speed of showing: 1 is as it happens. */
  readonly rate: number;
  readonly level: LevelNumber;
  /** Sole against the ground at contact, degrees against standing, toes up positive. */
  readonly angle: number;
  /** Metres a second. */
  readonly speed: number;
  /** How long the foot is on the ground, milliseconds. */
  readonly contactMs: number;
  /** Shank against the vertical at contact, degrees, positive with the ankle ahead of the knee. */
  readonly shank: number;
  /** Steps a minute, both feet. */
  readonly cadence: number;
  /** Share of the foot's length that is hidden. */
  readonly occlusion: number;
  /** Where the middle of what is hidden lies: 0 heel, 1 toe. */
  readonly occlusionAt: number;
  /** Other runners, behind and before. */
  readonly clutter: number;
  /** For drawing them, and for what else may vary without telling the class. */
  readonly clutterSeed: number;
}
