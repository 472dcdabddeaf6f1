import type { Race } from './race.ts';

/**
 * Whether the race has yet to be run or still runs: until its day is over where it is run. Observers stay blind to what
 * comes out for so long.
 *
 * @param now milliseconds since 1970
 */
export function raceRuns(race: Pick<Race, 'date' | 'timeZone'>, now: number): boolean {
  const day = new Intl.DateTimeFormat('en-CA', {
    ...{ year: 'numeric', month: '2-digit', day: '2-digit' },
    ...(race.timeZone ? { timeZone: race.timeZone } : {}),
  }).format(now);
  return day <= race.date;
}
