import { passagesOfRace } from '../../clips/passages-of-race.ts';
import { nearFootOf } from '../../sightings/near-foot.ts';
import { entriesOf, type RaceView } from '../../sightings/race-view.ts';
import { clipNames } from '../clips/clip-names.ts';
import { SIGHTINGS_COLUMNS, type SightingRow } from './sightings-columns.ts';
import { tableCsv, type Coding } from '../csv/table-csv.ts';

export interface SightingsCsvOptions {
  /** Hub clock minus device clock in milliseconds, for the devices where it is known. */
  readonly offsetMs?: ReadonlyMap<string, number>;
  /** Given, codes stand in place of bibs, and clips and passages are numbered. */
  readonly coding?: Coding | undefined;
}

/**
 * Writes the sightings table row by row, by record id: corrections applied, withdrawn sightings left out, every ruling
 * that was not withdrawn as a row of method `ruling` observed when it was made. A corrected row keeps its id, observer and
 * time. Times are the device's own; `offset_ms` says by how much its clock differed from the hub's.
 */
export function sightingsCsv(
  view: RaceView,
  { offsetMs = new Map(), coding }: SightingsCsvOptions = {},
): Generator<string> {
  return tableCsv(SIGHTINGS_COLUMNS, sightingRows(view, offsetMs, coding !== undefined), coding);
}

function* sightingRows(
  view: RaceView,
  offsetMs: ReadonlyMap<string, number>,
  numbered: boolean,
): Generator<SightingRow> {
  const { race } = view;
  const places = new Map(race.checkpoints.map((checkpoint) => [checkpoint.id, checkpoint]));
  const nearFoot = nearFootOf(view);
  const numbers = numbered ? clipNames(passagesOfRace(view).passages) : null;
  for (const entry of entriesOf(view)) {
    const { clip = '', passage = '' } = entry.record.kind === 'sighting' ? entry.record : {};
    yield {
      ...{ entry, race, place: places.get(entry.checkpoint)!, offsetMs: offsetMs.get(entry.record.device) },
      clip: numbers ? (numbers.clips.get(clip) ?? '') : clip,
      passage: numbers ? (numbers.passages.get(passage) ?? '') : passage,
      nearFoot: nearFoot(entry),
    };
  }
}
