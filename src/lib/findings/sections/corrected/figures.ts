import type { RunnerAnswer } from '../../../practice/runner-answer.ts';
import type { SingleFootRule } from '../../../sightings/runner-classes.ts';
import type { ResolvedRace } from '../../resolved-race.ts';
import type { Corrected } from './corrected.ts';
import { practiceOf } from './practice.ts';
import { validationOf } from './validation.ts';

export interface CorrectionOptions {
  /** Places of the two checkpoints in the table; the same with a single one. */
  readonly early: number;
  readonly late: number;
  readonly level: number;
  readonly singleFoot: SingleFootRule;
}

export interface CorrectedFigures {
  /** `null` when nobody was validated and no practice set was given. */
  readonly corrected: Corrected | null;
  /** The fewest validated runners in a stratum of the paired runners that the corrected difference rests on, for the notes. */
  readonly fewestInPairs: number | null;
}

/** @param practice answers to a practice set with a key, or `null`; no item with two keys, none twice by one observer */
export function correctedOf(
  race: ResolvedRace,
  practice: readonly RunnerAnswer[] | null,
  { early, late, level, singleFoot }: CorrectionOptions,
): CorrectedFigures {
  const found = validationOf(race, early, late, level, singleFoot);
  const practised = practice && practiceOf(race, practice, early, late, level, singleFoot);
  const validation = found?.validation ?? null;
  return {
    corrected: validation || practised ? { validation, practice: practised } : null,
    fewestInPairs: found?.fewestInPairs ?? null,
  };
}
