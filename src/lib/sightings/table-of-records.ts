import { nearFootOf } from './near-foot.ts';
import { entriesOf, type RaceView } from './race-view.ts';
import { SightingTableBuilder, type SightingTable } from './sighting-table.ts';

/**
 * The sightings of a race as the findings read them: corrections applied, withdrawn sightings left out, every ruling that
 * was not withdrawn as a row of method `ruling`, observed when it was made. Reading the exported sightings CSV again
 * gives the same table.
 */
export function tableOfRecords(view: RaceView): SightingTable {
  const checkpoints = new Map(view.race.checkpoints.map((checkpoint) => [checkpoint.id, checkpoint]));
  const nearFoot = nearFootOf(view);
  const builder = new SightingTableBuilder({ idsAscend: true });
  for (const entry of entriesOf(view)) {
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
      observedAtMs: Date.parse(observedAt),
      note: record.note ?? '',
      passed,
      timeEstimated,
      nearFoot: nearFoot(entry),
    });
  }
  return builder.build();
}
