import { FOOT_VALUES, GAITS } from '../../records/foot.ts';
import type { Checkpoint, Race } from '../../race/race.ts';
import { SIGHTING_METHODS, type NearFoot } from '../../sightings/seen.ts';
import type { StandingEntry } from '../../sightings/standing-entries.ts';
import { type Columns, numberCell, type ReadName, readNames, trueCell } from '../csv/column.ts';
import { KM_FACTS, NOTE_FACTS, RACE_FACTS } from '../csv/common-facts.ts';
import { bibWords } from '../csv/person-columns.ts';
import { shownText } from '../csv/shown-text.ts';
import type { TableFault } from '../csv/table-fault.ts';

/** A row of the sightings table as it is written. */
export interface SightingRow {
  readonly entry: StandingEntry;
  readonly race: Race;
  readonly place: Checkpoint;
  /** Hub clock minus tablet clock, milliseconds, where it is known. */
  readonly offsetMs: number | undefined;
  /** The clip and the passage by which marks find it; empty for none. */
  readonly clip: string;
  readonly passage: string;
  readonly nearFoot: NearFoot;
}

const required = { required: true } as const;

/** The sightings table. Columns are added at its end: tables that people have at home must go on reading. */
export const SIGHTINGS_COLUMNS = {
  record_id: {
    type: 'string',
    description: ({ coded }) => (coded ? 'Number of the record.' : 'Id of the record (UUID version 7).'),
    constraints: { required: true, unique: true },
    names: 'nobody',
    read: 'needed',
    write: ({ entry }) => entry.record.id,
  },
  race: {
    ...RACE_FACTS,
    write: ({ race }) => race.name,
  },
  checkpoint: {
    type: 'string',
    description: 'Where the runner was seen.',
    constraints: required,
    names: 'nobody',
    freeText: true,
    read: 'needed',
    write: ({ place }) => place.name,
  },
  km: {
    ...KM_FACTS,
    constraints: { required: true, minimum: 0 },
    write: ({ place }) => String(place.km),
  },
  bib: {
    type: 'string',
    description: (treatment) => `${bibWords(treatment)} Text, never a number: 007 is not 7. Empty: not readable.`,
    names: 'bib',
    freeText: true,
    read: 'needed',
    write: ({ entry }) => entry.bib ?? '',
  },
  left: {
    type: 'string',
    description: 'First contact of the left foot.',
    constraints: { required: true, enum: FOOT_VALUES },
    names: 'nobody',
    read: 'needed',
    write: ({ entry }) => entry.left,
  },
  right: {
    type: 'string',
    description: 'First contact of the right foot.',
    constraints: { required: true, enum: FOOT_VALUES },
    names: 'nobody',
    read: 'needed',
    write: ({ entry }) => entry.right,
  },
  observer: {
    type: 'string',
    description: 'Code of the observer.',
    constraints: required,
    names: 'nobody',
    freeText: true,
    read: 'needed',
    write: ({ entry }) => entry.record.observer,
  },
  method: {
    type: 'string',
    description:
      'live: by eye as the runner passed; clip: slow-motion review; ruling: the lead settles what observers dispute.',
    constraints: { required: true, enum: SIGHTING_METHODS },
    names: 'nobody',
    read: 'needed',
    write: ({ entry }) => entry.method,
  },
  observed_at: {
    type: 'datetime',
    description: 'When the first foot was tapped (a ruling: when it was made), by the clock of the tablet, UTC.',
    constraints: required,
    names: 'nobody',
    read: 'needed',
    write: ({ entry }) => entry.observedAt,
  },
  gait: {
    type: 'string',
    description: 'Whether the runner ran or walked. A walker has both feet unseen.',
    constraints: { enum: GAITS },
    names: 'nobody',
    read: 'optional',
    write: ({ entry }) => entry.gait,
  },
  note: {
    ...NOTE_FACTS,
    write: ({ entry }) => entry.record.note ?? '',
  },
  device: {
    type: 'string',
    description: 'Name of the tablet.',
    names: 'nobody',
    freeText: true,
    write: ({ entry }) => entry.record.device,
  },
  seq: {
    type: 'integer',
    description: 'Counts the records of the tablet in this race from 1; a gap is a record that is missing here.',
    constraints: { minimum: 1 },
    names: 'nobody',
    // An export with codes leaves out which tablet it was, and its counter with it.
    write: ({ entry }) => (entry.record.device === '' ? '' : String(entry.record.seq)),
  },
  offset_ms: {
    type: 'integer',
    description: 'Clock of the hub minus clock of the tablet, milliseconds, where it was measured.',
    names: 'nobody',
    write: ({ offsetMs }) => numberCell(offsetMs),
  },
  clip: {
    type: 'string',
    description: 'The video file on which it was seen, by its fingerprint; a number where bibs are codes.',
    names: 'nobody',
    write: ({ clip }) => clip,
  },
  passage: {
    type: 'string',
    description: 'The passage through that clip; a number where bibs are codes.',
    names: 'nobody',
    write: ({ passage }) => passage,
  },
  near_foot: {
    type: 'string',
    description: 'The foot towards the observer or the lens. Empty: not known.',
    constraints: { enum: ['left', 'right'] },
    names: 'nobody',
    read: 'optional',
    write: ({ nearFoot }) => (nearFoot === 'unknown' ? '' : nearFoot),
  },
  passed: {
    type: 'string',
    description:
      'true: let pass by the sampling rule and counted, not looked at; no attempt to class. Both feet are unseen. Else empty.',
    constraints: { enum: ['true'] },
    names: 'nobody',
    read: 'optional',
    write: ({ entry }) => trueCell(entry.passed),
  },
  timeEstimated: {
    type: 'string',
    description: 'true: keyed in from paper, observed_at lies between two times written on the sheet. Else empty.',
    constraints: { enum: ['true'] },
    names: 'nobody',
    read: 'optional',
    write: ({ entry }) => trueCell(entry.timeEstimated),
  },
} as const satisfies Columns<SightingRow>;

/** Which tablet a sighting came from is read by `SightingOrigins`; marks find their sighting by its id. */
export type SightingsColumn = ReadName<typeof SIGHTINGS_COLUMNS>;

const READ = readNames(SIGHTINGS_COLUMNS);
const OPTIONAL: readonly string[] = readNames(SIGHTINGS_COLUMNS, ['optional']);
const HEADINGS_SHOWN = 15;

/** The cell of each column in a row, -1 for one that is not there. */
export type ColumnPlaces = Readonly<Record<SightingsColumn, number>>;

/** Finds the columns by their headings; says each that is missing or stands twice. */
export function placeColumns(headings: readonly string[]): { places: ColumnPlaces; faults: TableFault[] } {
  const faults: TableFault[] = [];
  for (const column of READ) {
    const at = headings.indexOf(column);
    if (at >= 0 && headings.includes(column, at + 1)) faults.push({ column, expected: 'stands twice in the headings' });
    if (at < 0 && !OPTIONAL.includes(column)) {
      const listed = headings.map((heading) => `"${shownText(heading)}"`).slice(0, HEADINGS_SHOWN);
      faults.push({ column, expected: `is missing; the headings are ${listed.join(', ')}` });
    }
  }
  const places = Object.fromEntries(READ.map((column) => [column, headings.indexOf(column)])) as ColumnPlaces;
  return { places, faults };
}
