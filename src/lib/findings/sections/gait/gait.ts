import type { RunnerClass } from '../../../records/foot.ts';
import type { GaitFigure, StepFigure } from '../../../clips/step-figures.ts';
import type { KruskalWallis } from '../finish/figures.ts';

/** Contact, flight and step times are seconds, cadence is steps a minute, angles are degrees. */
export interface GaitSummary {
  /** Runners. */
  n: number;
  mean: number | null;
  sd: number | null;
  low: number | null;
  high: number | null;
  median: number | null;
  q1: number | null;
  q3: number | null;
  /** The part of `sd` that frames and points alone make. */
  frameSd: number | null;
}

export type GaitGroup = Record<GaitFigure, GaitSummary>;
export type GaitGroupName = 'all' | RunnerClass | 'walking';

interface PairedTest {
  n: number;
  difference: number | null;
  low: number | null;
  high: number | null;
  t: number | null;
  df: number | null;
  p: number | null;
}

/** near − far, runners measured on both feet. */
export interface SideComparison extends PairedTest {
  near: number | null;
  far: number | null;
}

/** late − early, runners measured at both. */
export interface GaitDifference extends PairedTest {
  early: number | null;
  late: number | null;
}

export interface ClassComparison extends KruskalWallis {
  n: number;
}

/** Differences of two observers who marked the same step. */
export interface RepeatFigure {
  n: number;
  mean: number | null;
  sd: number | null;
  low: number | null;
  high: number | null;
}

export const REPEAT_FIGURES = ['contactFrame', 'toeoffFrame', 'contact', 'strikeAngle', 'shankAngle'] as const;
export type RepeatName = (typeof REPEAT_FIGURES)[number];

export const CLASS_FIGURES = ['contact', 'cadence', 'duty'] as const;
export type ClassFigure = (typeof CLASS_FIGURES)[number];

export interface CheckpointGait {
  checkpoint: string;
  km: number;
  /** Of all marks of the checkpoint. */
  clips: number;
  passages: number;
  /** Running or walking, with a passage that stands; `steps` are theirs. */
  runners: number;
  steps: number;
  fps: { least: number | null; greatest: number | null };
  excluded: {
    /** Marks. */
    doubtful: number;
    repeats: number;
    incomplete: number;
    outside: number;
    noSighting: number;
    noBib: number;
    /** Steps. */
    disputed: number;
    lowRate: number;
    shortShoe: number;
  };
  groups: Record<GaitGroupName, GaitGroup>;
  sides: Record<StepFigure, SideComparison>;
  byClass: Record<ClassFigure, ClassComparison>;
  repeat: { steps: number } & Record<RepeatName, RepeatFigure>;
}

/** Runners measured at two checkpoints. */
export interface GaitChange extends Record<GaitFigure, GaitDifference> {
  early: string;
  late: string;
}
