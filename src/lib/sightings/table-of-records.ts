import type { Projection } from '../records/projection.ts';
import type { Race } from '../race/race.ts';
import { SightingTableBuilder, type SightingTable } from './sighting-table.ts';
import { standingEntries } from './standing-entries.ts';

export interface TableOfRecords {
  readonly table: SightingTable;
  /** Ids of sightings and rulings left out because the race has no such checkpoint (any more), in id order. */
  readonly offCourse: readonly string[];
}

/**
 * The sightings of a race as the findings read them: corrections applied, withdrawn sightings left out, every ruling that
 * was not withdrawn as a row of method `ruling`, observed when it was made. Reading the exported sightings CSV again
 * gives the same table.
 */
export function tableOfRecords(projection: Projection, race: Race): TableOfRecords {
  const checkpoints = new Map(race.checkpoints.map((checkpoint) => [checkpoint.id, checkpoint]));
  const builder = new SightingTableBuilder();
  const offCourse: string[] = [];
  for (const entry of standingEntries(projection)) {
    const { record, checkpoint, bib, gait, left, right, method, observedAt, passed, timeEstimated } = entry;
    const place = checkpoints.get(checkpoint);
    if (!place) {
      offCourse.push(record.id);
      continue;
    }
    builder.add({
      recordId: record.id,
      checkpoint: place.name,
      km: place.km,
      bib,
      gait,
      left,
      right,
      observer: record.observer,
      method,
      observedAtMs: Date.parse(observedAt),
      note: record.note ?? '',
      passed,
      timeEstimated,
    });
  }
  return { table: builder.build(), offCourse };
}
