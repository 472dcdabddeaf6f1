import type { Agreement } from './sections/agreement/figures.ts';
import type { Corrected } from './sections/corrected/corrected.ts';
import type { Coverage } from './sections/coverage/figures.ts';
import type { FinishFigures } from './sections/finish/figures.ts';
import type { CheckpointGait, GaitChange } from './sections/gait/gait.ts';
import type { LiveAgainstClip } from './sections/live-against-clip/live-against-clip.ts';
import type { CheckpointShares } from './sections/shares/figures.ts';
import type { Shift } from './sections/shift/figures.ts';

/**
 * The findings of one race, exactly as `kerbside analyse --json` prints them. Proportions are 0 to 1, times are seconds,
 * distances are km, p-values are two-sided, intervals are at the level asked for. `null` stands for a figure that cannot
 * be computed, and a sentence in `notes` says why.
 */
export interface Findings {
  inputs: Inputs;
  /** One entry for each checkpoint, by km. */
  shares: CheckpointShares[];
  /** `null` with a single checkpoint. */
  shift: Shift | null;
  /** `null` without results. */
  finish: FinishFigures | null;
  agreement: Agreement;
  /** `null` without results. */
  coverage: Coverage | null;
  /** `null` when nobody was validated on clip and no practice set was given. */
  corrected: Corrected | null;
  /** One entry for each checkpoint, by km; `null` without marks. */
  gait: CheckpointGait[] | null;
  /** `null` without marks and with a single checkpoint. */
  gaitChange: GaitChange | null;
  /** `null` without live sightings or without sightings from clips. */
  liveAgainstClip: LiveAgainstClip | null;
  /** Sentences a reader needs: small expected counts, overlap, why a figure is `null`. */
  notes: string[];
}

export interface Inputs {
  /** Data rows read; a record met twice counts twice. */
  sightings: number;
  /** Distinct bibs sighted. */
  runners: number;
  /** Rows of the results. */
  results: number | null;
  /** Sighted bibs that are in the results. */
  matched: number | null;
  /** Sighted bibs that are not. */
  unmatchedBibs: number | null;
  excluded: {
    noBib: number;
    /** Earlier entries of one observer for one bib at one checkpoint by one method. */
    repeats: number;
    /** The same record met again with the same content. */
    sameRecord: number;
    /** Let pass by the sampling rule, not looked at: no attempt to class. */
    passed: number;
  };
}
