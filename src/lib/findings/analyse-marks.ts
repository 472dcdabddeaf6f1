import type { PassageTable } from '../clips/passage.ts';
import { earlyAndLate } from '../race/early-and-late.ts';
import type { AnalyseOptions } from './analyse.ts';
import type { Findings } from './findings.ts';
import type { ResolvedRace } from './resolved-race.ts';
import { gaitFigures, type GaitFindings } from './sections/gait/figures.ts';
import { gaitNotes } from './sections/gait/notes.ts';
import { allCheckpoints } from './sections/gait/runner-gaits.ts';

/** What marks alone tell: no classes, and nothing of live observers. */
export type MarkFindings = Pick<Findings, 'gait' | 'gaitChange' | 'liveAgainstClip' | 'notes'>;

/** Gait at every checkpoint of the sightings and the marks; early and late are the first and the last unless named. */
export function gaitFindings(marks: PassageTable, race: ResolvedRace | null, options: AnalyseOptions): GaitFindings {
  const checkpoints = allCheckpoints(race?.table.checkpoints ?? [], marks.checkpoints);
  const places = earlyAndLate(checkpoints, options);
  if (!places.ok) throw new RangeError(`no two checkpoints: ${JSON.stringify(places.error)}`);
  const nameAt = (place: number): string => checkpoints[place]?.name ?? '';
  const { early, late } = places.value;
  return gaitFigures(marks, race, {
    ...{ checkpoints, early: nameAt(early), late: nameAt(late) },
    level: options.level ?? 0.95,
  });
}

/**
 * The findings of marks without sightings: gait is what the reviewers' passages say, and nobody has a class.
 *
 * @throws RangeError for a checkpoint that is not in the marks, or a level out of range
 */
export function analyseMarks(marks: PassageTable, options: AnalyseOptions = {}): MarkFindings {
  const { gait, gaitChange } = gaitFindings(marks, null, options);
  return { gait, gaitChange, liveAgainstClip: null, notes: gaitNotes(gait, gaitChange) };
}
