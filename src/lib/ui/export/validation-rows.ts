import type { ResolvedRace } from '../../findings/resolved-race.ts';
import { validationStates, type ValidationDraw } from '../../findings/sections/corrected/validation-draw.ts';
import type { ValidationRow } from '../../tables/clips/validation-columns.ts';

/** Every draw, earliest first, then those reviewed whom no draw has. */
export function validationRows(race: ResolvedRace, draws: readonly ValidationDraw[]): ValidationRow[] {
  const states = validationStates(race, draws, [...race.table.checkpoints.keys()]);
  return states.flatMap((state) => [
    ...state.draws.flatMap(({ seed, drawnAt, runners }, i) =>
      runners.map((runner) => ({ checkpoint: state.checkpoint, draw: i + 1, seed, drawnAt, ...runner })),
    ),
    ...state.beyond.map((bib) => ({
      ...{ checkpoint: state.checkpoint, bib, draw: null, seed: null, drawnAt: '', live: null, reviewed: true },
    })),
  ]);
}
