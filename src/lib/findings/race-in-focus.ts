import type { Field } from './field.ts';
import type { ResolvedRace } from './resolved-race.ts';

/** A race with its results and what of it is compared. */
export interface RaceInFocus {
  readonly race: ResolvedRace;
  /** `null` without results. */
  readonly field: Field | null;
  /** Places of the two checkpoints in the table; one and the same with a single checkpoint. */
  readonly early: number;
  readonly late: number;
  /** Of all intervals. */
  readonly level: number;
}
