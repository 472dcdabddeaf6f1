import { count, levelText, orNone, pointRange, signedPoints } from '../../words/numbers.ts';
import { correctionBasis } from '../sections/corrected/basis.ts';
import type { Corrected } from '../sections/corrected/corrected.ts';
import type { TableData } from '../series-picture.ts';

/** The change of the rearfoot share in one race, as called and corrected. */
export interface CorrectedRace {
  readonly race: string;
  readonly by: 'clip' | 'practice';
  readonly paired: number;
  readonly called: number | null;
  readonly change: number;
  readonly low: number | null;
  readonly high: number | null;
}

/** The corrected change of a race; `null` without an estimate. */
export function correctedRace(race: string, corrected: Corrected | null): CorrectedRace | null {
  const basis = correctionBasis(corrected);
  const difference = basis?.difference;
  if (!difference || difference.corrected.difference === null) return null;
  const { difference: change, low, high } = difference.corrected;
  const by = basis.kind === 'validation' ? 'clip' : 'practice';
  return { race, by, paired: difference.paired, called: difference.observed.difference, change, low, high };
}

/** What stands above a pooled shift: the calls are pooled as they are. */
export const POOLED_AS_CALLED =
  'The classes are as observers called them. Where observers err otherwise late than early, part of the shift is theirs.';

/** Each race's corrected change beside the called one. */
export function correctedRacesTable(races: readonly CorrectedRace[], level: number): TableData {
  return {
    caption: `Change of the rearfoot share race by race, late less early, points, as called and corrected; ${levelText(level)} intervals`,
    columns: ['Race', 'Runners', 'As called', 'Corrected', 'Interval', 'Corrected by'],
    rows: races.map(({ race, by, paired, called, change, low, high }) => [
      race,
      count(paired),
      signedPoints(called),
      signedPoints(change),
      orNone(pointRange(low, high)),
      by,
    ]),
  };
}
