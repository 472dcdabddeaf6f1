import type { FootClass } from '../records/foot.ts';

/** The figures of a share with its Wilson limits; `null` without an item. */
export interface CountedShare {
  readonly count: number;
  readonly n: number;
  readonly share: number | null;
  readonly low: number | null;
  readonly high: number | null;
}

export interface ShareInterval {
  readonly share: number | null;
  readonly low: number | null;
  readonly high: number | null;
}

export interface Coefficient {
  readonly estimate: number | null;
  readonly se: number | null;
  readonly low: number | null;
  readonly high: number | null;
}

export interface ChiSquare {
  readonly statistic: number | null;
  readonly df: number | null;
  readonly p: number | null;
}

/** Counts 3 × 3, rows the key, columns the answers, in the order of the classes. */
export type AnswerTable = readonly (readonly number[])[];

/** How well rearfoot is told from the rest. */
export interface RearfootEye {
  readonly sensitivity: CountedShare;
  /** Answered anything but rearfoot. */
  readonly other: Readonly<Record<'midfoot' | 'forefoot', CountedShare>>;
  readonly specificity: ShareInterval;
  /** Youden's J with its limits. */
  readonly youden: number | null;
  readonly low: number | null;
  readonly high: number | null;
  /** Pairs that these eyes need for what true eyes see with one. */
  readonly pairsFactor: number | null;
}

export interface AtMix {
  /** Weights, sum 1. */
  readonly mix: readonly number[];
  readonly agreement: ShareInterval;
  /** The rearfoot share that this eye would report of a field of that mix. */
  readonly rearfootSeen: number | null;
  readonly bias: number | null;
}

export type PassReason = 'tooFew' | 'notRaceLevel' | 'unseen' | 'low';
export type Basis = 'drawn' | 'clips';

/** One observer's session against the key. */
export interface SessionScore {
  readonly observer: string;
  readonly session: string;
  readonly basis: Basis;
  readonly shown: number;
  readonly classed: number;
  readonly unseen: number;
  /** Items of the key without an answer. */
  readonly missing: number;
  readonly table: AnswerTable;
  readonly agreement: CountedShare;
  readonly kappa: Coefficient;
  readonly weightedKappa: Coefficient;
  readonly ac1: Coefficient;
  readonly classes: Readonly<Record<FootClass, CountedShare>>;
  readonly rearfoot: RearfootEye;
  readonly near: CountedShare;
  readonly far: CountedShare;
  readonly nearFar: ChiSquare;
  readonly atMix: AtMix;
  /** Response times, milliseconds. */
  readonly time: {
    readonly n: number;
    readonly median: number | null;
    readonly q1: number | null;
    readonly q3: number | null;
    readonly perMinute: number | null;
  };
  readonly drift: { readonly table: readonly (readonly [number, number])[] } & ChiSquare;
  readonly sequential: {
    readonly decision: 'pass' | 'fail' | 'open';
    readonly at: number | null;
    readonly logRatio: number;
  };
  readonly pass: { readonly mark: number; readonly passed: boolean | null; readonly why: readonly PassReason[] };
  readonly calibration: { readonly basis: Basis; readonly answers: AnswerTable; readonly unseen: readonly number[] };
  readonly notes: readonly string[];
}

export interface PracticeScores {
  readonly inputs: {
    readonly answers: number;
    readonly items: number;
    readonly excluded: { readonly repeats: number };
  };
  readonly scores: readonly SessionScore[];
}
