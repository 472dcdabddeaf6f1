import type { LimitedFigure, Limits } from '../clips/plausible-limits.ts';
import type { Foot, Gait } from '../records/foot.ts';

/** The kinds of doubt, as they are named everywhere. */
export const DOUBT_KINDS = ['unlisted', 'disputed', 'time', 'double', 'clip', 'missing'] as const;
export type DoubtKind = (typeof DOUBT_KINDS)[number];

/** Another bib that one of the doubt's records may stand for. */
export interface Candidate {
  readonly bib: string;
  /** 0 to 1. What is left to 1 over all candidates is that none of them is right. */
  readonly probability: number;
  /** The records that would be corrected to this bib. */
  readonly records: readonly string[];
  /** Seconds by which the candidate would be later (or earlier, negative) than its other times make likely. */
  readonly offSeconds: number | null;
  /** Whether somebody has a sighting of this bib at this checkpoint already. */
  readonly seenHere: boolean;
}

/** A record to be written once the lead accepts; the writer adds id, race, lead, device, seq and time. */
export type DecisionDraft =
  | {
      readonly kind: 'correction';
      readonly target: string;
      readonly bib?: string | null;
      readonly checkpoint?: string;
      readonly gait?: Gait;
      readonly left?: Foot;
      readonly right?: Foot;
      readonly note: string;
    }
  | { readonly kind: 'withdrawal'; readonly target: string; readonly note: string }
  | {
      readonly kind: 'acceptance';
      readonly doubt: string;
      readonly settles: DoubtKind;
      readonly targets: string[];
    }
  | {
      readonly kind: 'ruling';
      readonly checkpoint: string;
      readonly bib: string;
      readonly gait: Gait;
      readonly left: Foot;
      readonly right: Foot;
      readonly note: string;
    };

/** The facts behind a doubt, enough to say it in words. Times are milliseconds since 1970 after clock offsets. */
export type DoubtFacts =
  | { readonly type: 'not-listed'; readonly seenElsewhere: number; readonly hasResult: boolean }
  | { readonly type: 'dispute'; readonly what: readonly ('gait' | 'left' | 'right')[] }
  | { readonly type: 'swapped'; readonly other: string; readonly observer: string; readonly apartSeconds: number }
  | {
      readonly type: 'backwards' | 'too-fast' | 'too-slow' | 'odd';
      readonly from: TimedPoint;
      readonly to: TimedPoint;
      /** Seconds from one to the other, and those a runner of this pace would need. */
      readonly seconds: number;
      readonly expectedSeconds: number | null;
      /** Least seconds a human needs for the stretch; see `HUMAN_PACE_BOUNDS`. */
      readonly boundSeconds: number | null;
    }
  | { readonly type: 'before-start'; readonly at: TimedPoint; readonly seconds: number }
  | { readonly type: 'after-finish'; readonly at: TimedPoint; readonly seconds: number }
  | { readonly type: 'no-result'; readonly at: TimedPoint; readonly sightings: number }
  | {
      readonly type: 'clock';
      readonly device: string;
      readonly observer: string;
      /** Seconds by which the tablet's clock is ahead (positive) or behind of the others. */
      readonly aheadSeconds: number;
      /** Runners the figure rests on. */
      readonly runners: number;
      /** The tablet it was compared with, `null` when with the field's pace. */
      readonly against: string | null;
      /** Whether it is known which of the two is wrong. */
      readonly certain: boolean;
      /** Hub clock minus the tablet's as the hub measured it, milliseconds; `null` where it did not. */
      readonly measuredMs: number | null;
    }
  | {
      readonly type: 'wrong-start';
      /** Seconds from the start of the set-up to the middle one of the sightings that do not fit it. */
      readonly seconds: number;
      /** Live sightings that do not fit, of how many. */
      readonly sightings: number;
      readonly of: number;
    }
  | {
      readonly type: 'repeat';
      readonly observer: string;
      readonly apartSeconds: number;
      readonly sameFeet: boolean;
      /** Probability that it is one runner, entered more than once. */
      readonly sameRunner: number;
    }
  | {
      readonly type: 'seq-gap';
      readonly device: string;
      readonly observer: string;
      /** First and last missing `seq` of each hole. */
      readonly gaps: readonly (readonly [number, number])[];
      readonly missing: number;
    }
  | {
      readonly type: 'silence';
      /** From and to, and how many sightings were to be expected between. */
      readonly silences: readonly { readonly fromMs: number; readonly toMs: number; readonly expected: number }[];
    }
  | { readonly type: 'not-handed-in'; readonly observer: string }
  | {
      readonly type: 'rate';
      /** Fingerprint of the file. */
      readonly clip: string;
      /** Who passes in it. */
      readonly bibs: readonly string[];
      readonly gait: Gait;
      /** Frames a second as they stand, and as they may have been. */
      readonly fps: number;
      readonly likelyFps: number;
      /** Median cadence at both, steps a minute. */
      readonly cadence: number;
      readonly likelyCadence: number;
    }
  | {
      readonly type: 'two-rates';
      /** Frames a second that were said of one file, the one that stands first, each with who said it. */
      readonly said: readonly { readonly fps: number; readonly observer: string }[];
      /** Who passes in it. */
      readonly bibs: readonly string[];
    }
  | { readonly type: 'implausible'; readonly gait: Gait; readonly outside: readonly OutsideFigure[] }
  | {
      readonly type: 'gait';
      readonly gait: Gait;
      /** Steps with both feet down (of a runner) or with flight (of a walker), of those that show it. */
      readonly odd: number;
      readonly of: number;
    }
  | {
      readonly type: 'frames-missing';
      /** Steps with a gap above 3 median gaps, of how many. */
      readonly steps: number;
      readonly of: number;
    };

/** A figure of a passage that is outside the limits of the plausible: seconds, steps a minute, a share or degrees. */
export interface OutsideFigure {
  readonly name: LimitedFigure;
  readonly limits: Limits;
  /** Of the values outside. */
  readonly least: number;
  readonly greatest: number;
  readonly count: number;
}

/** Where and when a runner was. */
export interface TimedPoint {
  /** Index of the checkpoint, -1 for the start and the number of checkpoints for the finish. */
  readonly point: number;
  readonly km: number | null;
  /** As the record has it, milliseconds since 1970; `null` for a finish that is only a duration. */
  readonly atMs: number | null;
  /** What the check adds to it for the tablet's clock, milliseconds. */
  readonly clockMs: number;
}

/** One thing the lead should look at. */
export interface Doubt {
  /** The same for the same doubt in any run; a decision to leave it as it is names it. */
  readonly key: string;
  readonly kind: DoubtKind;
  /** Index of the checkpoint, or `null` when the doubt is about none. */
  readonly checkpoint: number | null;
  readonly bib: string | null;
  /** Ids of the records in question, the most doubtful first. */
  readonly records: readonly string[];
  /** Best first; with several records in question one bib may be there for each of them. */
  readonly candidates: readonly Candidate[];
  readonly facts: DoubtFacts;
  /** What accepting would write, or `null` when only a person can tell. */
  readonly proposal: readonly DecisionDraft[] | null;
  /** The clip that it is about, and the frame to look at first. */
  readonly film?: { readonly clip: string; readonly frame: number };
  /** 0 to 1, the order of the list: how much harm it does if it stays, times how likely it is wrong. */
  readonly weight: number;
}
