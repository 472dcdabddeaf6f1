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
export function searchEntries(
  sightings: readonly ProjectedSighting[],
  { text, withdrawn, passed }: EntrySearch,
  clock: (instant: string) => string,
): ProjectedSighting[] {
  const wanted = text.trim().toLowerCase();
  const time = TIME.exec(wanted);
  const from = time ? `${(time[1] ?? '').padStart(2, '0')}:${time[2] ?? ''}` : undefined;
  return sightings.filter((sighting) => {
    if ((sighting.withdrawn && !withdrawn) || (sighting.passed && !passed)) return false;
    if (from !== undefined) return clock(sighting.record.observedAt).startsWith(from);
    return wanted === '' || (sighting.bib ?? 'no bib').toLowerCase().includes(wanted);
  });
}
