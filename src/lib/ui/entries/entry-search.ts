import type { ProjectedSighting } from '../../records/projection.ts';

/** What is looked for in the list of entries. */
export interface EntrySearch {
  /** Part of a bib, or the beginning of a time of day such as `9:42`; empty for all. */
  readonly text: string;
  /** Those that were withdrawn too. */
  readonly withdrawn: boolean;
  /** Runners who were let pass too. */
  readonly passed: boolean;
}

const TIME = /^(\d{1,2}):(\d{0,2}(?::\d{0,2})?)$/;

/**
 * The entries that are looked for, newest first.
 *
 * @param sightings newest first
 * @param clock the time of day of an instant, `09:42:07`
 */
export function searchEntries<Entry extends ProjectedSighting>(
  sightings: readonly Entry[],
  { text, withdrawn, passed }: EntrySearch,
  clock: (instant: string) => string,
): Entry[] {
  const wanted = text.trim().toLowerCase();
  const time = TIME.exec(wanted);
  const from = time ? `${(time[1] ?? '').padStart(2, '0')}:${time[2] ?? ''}` : undefined;
  const timeOfDay = onceAMinute(clock);
  return sightings.filter((sighting) => {
    if ((sighting.withdrawn && !withdrawn) || (sighting.passed && !passed)) return false;
    if (from !== undefined) return timeOfDay(sighting.record.observedAt).startsWith(from);
    return wanted === '' || (sighting.bib ?? 'no bib').toLowerCase().includes(wanted);
  });
}

/** Telling the time takes 5 µs: told once a minute; the seconds are those of the instant, whatever the zone. */
function onceAMinute(clock: (instant: string) => string): (instant: string) => string {
  let [minute, told] = ['', ''];
  return (instant) => {
    if (instant.slice(0, 16) !== minute) [minute, told] = [instant.slice(0, 16), clock(instant).slice(0, 6)];
    return told + instant.slice(17, 19);
  };
}
