import type { RaceView } from '../../../sightings/race-view.ts';
import type { ValidationDraw } from './validation-draw.ts';

/**
 * All draws of a race that are in force, earliest first; a checkpoint that the race has no more goes by its id.
 *
 * @param kept draws that an earlier version of the program kept on this device alone
 */
export function drawsOfRace({ race, projection }: RaceView, kept: readonly ValidationDraw[]): ValidationDraw[] {
  const names = new Map(race.checkpoints.map(({ id, name }) => [id, name]));
  const recorded = projection.draws.map(({ checkpoint, seed, madeAt, bibs, live }) => ({
    checkpoint: names.get(checkpoint) ?? checkpoint,
    seed,
    drawnAt: madeAt,
    runners: bibs.map((bib, i) => ({ bib, live: live[i]! })),
  }));
  return [...kept, ...recorded].sort((a, b) => Date.parse(a.drawnAt) - Date.parse(b.drawnAt));
}
