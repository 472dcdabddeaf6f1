import type { RunnerClass } from '../../../records/foot.ts';

/** Shares and the early-to-late difference corrected for what observers are known to misread. */
export interface Corrected {
  /** From runners seen live and on clip; `null` when nobody was. */
  validation: Validation | null;
  /** From a practice set with a key; `null` when none was given. */
  practice: PracticeCorrection | null;
}

/** A share as read live, and corrected; all but `observed` are `null` where there is no estimate. */
export interface CorrectedShare {
  observed: number | null;
  share: number | null;
  se: number | null;
  low: number | null;
  high: number | null;
}

export interface ValidatedCheckpoint {
  checkpoint: string;
  km: number;
  /** Runners with one of the four classes by the live sightings. */
  live: number;
  /** Of these, with one of the four by the clips too. */
  validated: number;
  /** Live runners with a clip but none of the four classes by it. */
  clipUnclear: number;
  /** Runners with a class by clip but none by live sightings: not used. */
  clipOnly: number;
  /** 4×4: rows live, columns clip. */
  table: number[][];
  /** Whether the classes other than rearfoot are one stratum; `null` without an estimate. */
  pooled: boolean | null;
  classes: Record<RunnerClass, CorrectedShare>;
}

export interface CorrectedChange {
  early: number | null;
  late: number | null;
  /** late − early */
  difference: number | null;
  se: number | null;
  low: number | null;
  high: number | null;
}

export interface ValidatedDifference {
  early: string;
  late: string;
  /** Runners with a live class at both. */
  paired: number;
  validatedEarly: number;
  validatedLate: number;
  validatedBoth: number;
  observed: Omit<CorrectedChange, 'se'>;
  corrected: CorrectedChange;
}

export interface Validation {
  checkpoints: ValidatedCheckpoint[];
  /** `null` with one checkpoint. */
  difference: ValidatedDifference | null;
}

export interface PractisedObserver {
  observer: string;
  /** Whether there are enough answers of every class for the observer's readings to be used. */
  practised: boolean;
  /** 4×4: rows key, columns answer. */
  table: number[][];
}

export interface PractisedShare extends CorrectedShare {
  /** The estimate before it is cut to 0–1. */
  raw: number | null;
}

export interface PractisedCheckpoint {
  checkpoint: string;
  km: number;
  /** Runners with a reading that is used. */
  runners: number;
  readings: number;
  /** Readings of observers who have not practised: not used. */
  unpractised: number;
  /** 4×4: rows true class, columns class read, each row adding up to 1. */
  matrix: number[][] | null;
  classes: Record<RunnerClass, PractisedShare>;
}

export interface PractisedDifference {
  early: string;
  late: string;
  /** Runners with a reading that is used at both. */
  paired: number;
  observed: Pick<CorrectedChange, 'early' | 'late' | 'difference'>;
  corrected: CorrectedChange;
}

export interface PracticeCorrection {
  items: number;
  answers: number;
  /** Answers without one of the four classes. */
  unclassified: number;
  /** By code point. */
  observers: PractisedObserver[];
  checkpoints: PractisedCheckpoint[];
  /** `null` with one checkpoint. */
  difference: PractisedDifference | null;
}
