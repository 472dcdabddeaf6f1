import { KerbsideDatabase } from '../../store/database.ts';
import type { RecordSource } from '../../store/records/record-batches.ts';
import { recordSource } from '../../store/records/records.ts';
import { loadResults, loadStartList } from '../../store/race/races.ts';
import type { StoreDoor } from './store-calls.ts';

/** What a race has many of. */
type Lists = RecordSource & Pick<StoreDoor, 'loadResults' | 'loadStartList'>;

/** Chromium ends a transaction with its worker; in other engines its locks may stay. */
const letsGo = (userAgent: string): boolean => /Chrom(?:e|ium)\//.test(userAgent);

/**
 * In a worker that reads a whole race: its lists straight from the database where the engine can bear it, else through the
 * page as all the rest. Through the page a million sightings take a third longer, and hold it up for 100 ms at a time.
 */
export function listsReadHere(store: StoreDoor): Lists {
  if (!letsGo(navigator.userAgent)) return store;
  const db = new KerbsideDatabase();
  return {
    ...recordSource(db),
    loadResults: (raceId) => loadResults(db, raceId),
    loadStartList: (raceId) => loadStartList(db, raceId),
  };
}
