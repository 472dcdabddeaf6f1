import { count, listed } from '../../words/numbers.ts';
import type { RaceCounts } from './race-counts.ts';

const BEGINNING = 'Perhaps one race twice';

/** Whether a note is one of {@link racesGivenTwice}. */
export const isOfRaceTwice = (note: string): boolean => note.startsWith(BEGINNING);

/** Races under two names that say they are one, or have every count alike; both stand in the figures. */
export function racesGivenTwice(races: readonly RaceCounts[]): string[] {
  const byIdentity = groups(races, ({ identity }) => identity);
  const known = new Set(byIdentity.flat());
  const byCounts = groups(
    races.filter(({ race }) => !known.has(race)),
    countsKey,
  );
  return [
    ...byIdentity.map((names) => `${BEGINNING}, as name and date are the same: ${shortened(names)}.`),
    ...byCounts.map((names) => `${BEGINNING}, as every count is the same: ${shortened(names)}.`),
  ];
}

/** So many are named; of a file that came a hundred times the number says enough. */
const MOST_NAMES = 6;

const shortened = (names: readonly string[]): string =>
  listed(
    names.length > MOST_NAMES
      ? [...names.slice(0, MOST_NAMES - 1), `${count(names.length - MOST_NAMES + 1)} more`]
      : names,
  );

/** `null` for a race without counts: nothing tells it from another. */
const countsKey = ({ race: _race, identity: _identity, ...counts }: RaceCounts): string | null =>
  counts.classified === 0 ? null : JSON.stringify(counts);

/** Names of the races that share a key, where there is more than one. */
function groups(races: readonly RaceCounts[], keyOf: (race: RaceCounts) => string | null): string[][] {
  const names = new Map<string, string[]>();
  for (const race of races) {
    const key = keyOf(race);
    if (key !== null) names.set(key, [...(names.get(key) ?? []), race.race]);
  }
  return [...names.values()].filter((group) => group.length > 1);
}
