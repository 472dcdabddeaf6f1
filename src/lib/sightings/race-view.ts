import type { Race } from '../race/race.ts';
import { projectRecords, type Projection } from '../records/projection.ts';
import type { TallyRecord } from '../records/record.ts';
import { standingEntries, type StandingEntry } from './standing-entries.ts';

/** A race as its records now stand. Check, findings, exports and squads all start from here, and nowhere else. */
export interface RaceView {
  readonly race: Race;
  readonly records: readonly TallyRecord[];
  readonly projection: Projection;
  /**
   * Ids, in id order, of sightings and rulings that count nowhere since the race has no such checkpoint (any more): no
   * distance can be given for them. Whoever shows the race says how many they are.
   */
  readonly offCourse: readonly string[];
}

/** Brings the records of a race, in any order, into the view from which all else is made. */
export function viewOfRace(race: Race, records: readonly TallyRecord[]): RaceView {
  const projection = projectRecords(records);
  const isOnCourse = onCourse(race);
  const offCourse: string[] = [];
  for (const entry of standingEntries(projection)) if (!isOnCourse(entry)) offCourse.push(entry.record.id);
  return { race, records, projection, offCourse };
}

/** The sightings and rulings that count, by record id. */
export function* entriesOf({ race, projection, offCourse }: RaceView): Generator<StandingEntry> {
  if (offCourse.length === 0) {
    yield* standingEntries(projection);
    return;
  }
  const isOnCourse = onCourse(race);
  for (const entry of standingEntries(projection)) if (isOnCourse(entry)) yield entry;
}

function onCourse(race: Race): (entry: StandingEntry) => boolean {
  const known = new Set(race.checkpoints.map((checkpoint) => checkpoint.id));
  return ({ checkpoint }) => known.has(checkpoint);
}
