import { entriesOf, type RaceView } from '../sightings/race-view.ts';
import { csvLine } from './csv-line.ts';
import { SIGHTINGS_COLUMNS } from './sightings-columns.ts';
import { guardCell } from './spreadsheet-guard.ts';

export interface SightingsCsvOptions {
  /** Hub clock minus device clock in milliseconds, for the devices where it is known. */
  readonly offsetMs?: ReadonlyMap<string, number>;
  /** What stands in place of a bib, such as a code; the bib itself if left out. */
  readonly bibText?: (bib: string) => string;
}

/**
 * Writes the sightings table row by row, by record id: corrections applied, withdrawn sightings left out, every ruling
 * that was not withdrawn as a row of method `ruling` observed when it was made. A corrected row keeps its id, observer and
 * time. Times are the device's own; `offset_ms` says by how much its clock differed from the hub's.
 *
 * Texts that a spreadsheet would take for a formula are guarded (see `guardCell`), bibs such as `-12` included.
 */
export function* sightingsCsv(
  view: RaceView,
  { offsetMs = new Map(), bibText = (bib) => bib }: SightingsCsvOptions = {},
): Generator<string> {
  const { race } = view;
  const checkpoints = new Map(race.checkpoints.map((c) => [c.id, { name: guardCell(c.name), km: String(c.km) }]));
  const raceName = guardCell(race.name);
  yield csvLine(SIGHTINGS_COLUMNS);
  for (const entry of entriesOf(view)) {
    const { record, checkpoint, bib, gait, left, right, method, observedAt, passed, timeEstimated } = entry;
    const place = checkpoints.get(checkpoint)!;
    yield csvLine([
      record.id,
      raceName,
      place.name,
      place.km,
      bib === null ? '' : guardCell(bibText(bib)),
      left,
      right,
      guardCell(record.observer),
      method,
      observedAt,
      gait,
      guardCell(record.note ?? ''),
      guardCell(record.device),
      String(record.seq),
      offsetMs.get(record.device)?.toString() ?? '',
      passed ? 'true' : '',
      timeEstimated ? 'true' : '',
    ]);
  }
}
