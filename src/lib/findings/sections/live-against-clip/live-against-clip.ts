import type { AgreementFigure } from '../agreement/figures.ts';

/** A share of feet. Sentences print the cluster interval, which takes the feet of one runner at one checkpoint together. */
export interface ReadingShare {
  count: number;
  of: number;
  share: number | null;
  low: number | null;
  high: number | null;
  clusterLow: number | null;
  clusterHigh: number | null;
}

/** How well live calls of a class match the clips. */
export interface ClassReading {
  /** Called so live, of those that are on the clip. */
  sensitivity: ReadingShare;
  /** Not called so live, of those that are not on the clip. */
  specificity: ReadingShare;
}

/** Feet as one live observer has them, against what the clips say of them. */
export interface LiveReading {
  units: number;
  liveUnseen: number;
  clipUnseen: number;
  notInClip: number;
  walking: number;
  disputed: number;
  /** 3×3: rows clip, columns live. */
  table: number[][];
  agreement: ReadingShare;
  kappa: AgreementFigure;
  ac1: AgreementFigure;
  rearfoot: ClassReading & {
    /** On the clip so, of those called so live. */
    positive: ReadingShare;
    /** Not on the clip so, of those not called so live. */
    negative: ReadingShare;
  };
  forefoot: ClassReading;
}

export const LIVE_SIDES = ['near', 'far', 'unknown'] as const;
export type LiveSide = (typeof LIVE_SIDES)[number];

export interface LiveAgainstClip {
  all: LiveReading;
  observers: (LiveReading & { observer: string })[];
  sides: Record<LiveSide, LiveReading> & {
    /** Sensitivity for rearfoot, near − far. */
    difference: {
      near: number | null;
      far: number | null;
      difference: number | null;
      low: number | null;
      high: number | null;
    };
  };
  checkpoints: (LiveReading & { checkpoint: string; km: number })[];
}
