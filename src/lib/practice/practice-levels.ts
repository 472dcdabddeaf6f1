import type { FootClass } from '../records/foot.ts';

/** How hard a set is. */
export interface PracticeLevel {
  /** Degrees kept off the cut-offs between the classes. */
  readonly margin: number;
  /** Speed of showing: 1 is as it happens. */
  readonly rate: number;
  /** Most of the foot that is hidden, a share of its length. */
  readonly occlusion: number;
  /** Most other runners, behind and before. */
  readonly clutter: number;
}

export const PRACTICE_LEVELS = [1, 2, 3, 4, 5] as const;
export type LevelNumber = (typeof PRACTICE_LEVELS)[number];

/** Level 4 is as at a race. How much each level takes away: common practice, no source. */
export const LEVELS: Readonly<Record<LevelNumber, PracticeLevel>> = {
  1: { margin: 2.5, rate: 0.25, occlusion: 0, clutter: 0 },
  2: { margin: 1.5, rate: 0.5, occlusion: 0.1, clutter: 1 },
  3: { margin: 0.8, rate: 1, occlusion: 0.2, clutter: 1 },
  4: { margin: 0.3, rate: 1, occlusion: 0.35, clutter: 2 },
  5: { margin: 0, rate: 1, occlusion: 0.5, clutter: 3 },
};

/** Weights of rearfoot, midfoot, forefoot. */
export type Mix = readonly [number, number, number];

export const BALANCED_MIX: Mix = [1, 1, 1];
/** Runners with both feet alike in four road races with printed counts. */
export const RACE_MIX: Mix = [3584, 358, 48];

/** Distribution of the foot strike angle of one class, degrees. */
export interface AngleSpread {
  readonly mean: number;
  readonly sd: number;
  readonly low: number;
  readonly high: number;
}

/**
 * Cut-offs 7.4° and −0.8°: "Footstrike angle cut-off values to classify footstrike pattern in runners", 2023. Means and
 * spreads are assumptions near what motion capture prints for shod runners (from memory).
 */
export const ANGLES: Readonly<Record<FootClass, AngleSpread>> = {
  rearfoot: { mean: 15, sd: 5, low: 7.4, high: 28 },
  midfoot: { mean: 3.3, sd: 2.5, low: -0.8, high: 7.4 },
  forefoot: { mean: -6, sd: 4, low: -18, high: -0.8 },
};

/** Items and levels when nothing is said. */
export const DEFAULT_ITEMS = 120;
export const DEFAULT_LEVEL: LevelNumber = 4;
