import { RUNNER_CLASSES } from '../../records/foot.ts';
import { REARFOOT } from '../../sightings/runner-classes.ts';
import type { ResolvedRace } from '../resolved-race.ts';
import { sharesOf } from '../sections/shares/figures.ts';
import { commonObservers, countEarlyLate, trendOf } from '../sections/shift/figures.ts';
import { raceCountsOf, type FindingsRead, type RaceCounts } from './race-counts.ts';

/**
 * What pooling needs of a race, from its sightings: the same as from its findings, without the tests that pooling does not
 * read. `early` and `late` are places in the table's checkpoints, the same with a single one.
 *
 * @param about name and date of the race, where they are known
 */
export function countsOfRace(
  name: string,
  race: ResolvedRace,
  early: number,
  late: number,
  level: number,
  about?: FindingsRead['about'],
): RaceCounts {
  const shares = sharesOf(race, level);
  if (early === late) return raceCountsOf(name, { about, shares, shift: null });
  const { table, classes } = race;
  const { transitions } = countEarlyLate(classes, new Uint8Array(table.bibs.length), early, late);
  const sum = (counts: readonly number[]): number => counts.reduce((total, count) => total + count, 0);
  const both = transitions[REARFOOT]![REARFOOT]!;
  return raceCountsOf(name, {
    about,
    shares,
    shift: {
      early: table.checkpoints[early]!.name,
      late: table.checkpoints[late]!.name,
      paired: sum(transitions.flat()),
      commonObservers: commonObservers(race, early, late),
      rearfoot: {
        gained: sum(RUNNER_CLASSES.map((_, place) => transitions[place]![REARFOOT]!)) - both,
        lost: sum(transitions[REARFOOT]!) - both,
      },
      trend: trendOf(race, level).trend,
    },
  });
}
