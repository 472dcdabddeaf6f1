import type { Race } from '../race/race.ts';
import { instantMs } from './instant-ms.ts';
import { nearFootOf } from './near-foot.ts';
import { entriesOf, type RaceView } from './race-view.ts';
import { type NearFoot } from './seen.ts';
import { SightingTableBuilder, type SightingTable } from './sighting-table.ts';
import type { StandingEntry } from './standing-entries.ts';

/**
 * The sightings of a race as the findings read them: corrections applied, withdrawn sightings left out, every ruling that
 * was not withdrawn as a row of method `ruling`, observed when it was made. Reading the exported sightings CSV again
 * gives the same table.
 */
export function tableOfRecords(view: RaceView): SightingTable {
  const builder = new SightingTableBuilder({ idsAscend: true });
  const add = entryAdder(builder, view.race, nearFootOf(view));
  for (const entry of entriesOf(view)) add(entry);
  return builder.build();
}

/** Puts entries that stand into a table. Throws where the race has no such checkpoint. */
export function entryAdder(
  builder: SightingTableBuilder,
  race: Race,
  nearFoot: (entry: StandingEntry) => NearFoot,
): (entry: StandingEntry) => void {
  const checkpoints = new Map(race.checkpoints.map((checkpoint) => [checkpoint.id, checkpoint]));
  return (entry) => {
    const { record, checkpoint, bib, gait, left, right, method, observedAt, passed, timeEstimated } = entry;
    const { name, km } = checkpoints.get(checkpoint)!;
    builder.add({
      recordId: record.id,
      checkpoint: name,
      km,
      bib,
      gait,
      left,
      right,
      observer: record.observer,
      method,
      observedAtMs: instantMs(observedAt),
      note: record.note ?? '',
      passed,
      timeEstimated,
      nearFoot: nearFoot(entry),
    });
  };
}
