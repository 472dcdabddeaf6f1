import { shownText } from './shown-text.ts';
import type { TableFault } from './table-fault.ts';

/** The headings of the sightings table, in the order in which it is written. */
export const SIGHTINGS_COLUMNS = [
  'record_id',
  'race',
  'checkpoint',
  'km',
  'bib',
  'left',
  'right',
  'observer',
  'method',
  'observed_at',
  'gait',
  'note',
  'device',
  'seq',
  'offset_ms',
  'passed',
  'timeEstimated',
] as const;

/** Which tablet a sighting came from: `SightingOrigins` reads them. */
type OriginColumn = 'device' | 'seq' | 'offset_ms';
type WrittenColumn = Exclude<(typeof SIGHTINGS_COLUMNS)[number], OriginColumn>;
export type SightingsColumn = WrittenColumn | 'near_foot';

/** Columns that a table may go without. */
const ORIGIN: readonly string[] = ['device', 'seq', 'offset_ms'] satisfies OriginColumn[];
const MARKS: readonly string[] = ['gait', 'near_foot', 'passed', 'timeEstimated'] satisfies SightingsColumn[];
const OPTIONAL = [...ORIGIN, ...MARKS];
const READ: readonly SightingsColumn[] = [
  ...SIGHTINGS_COLUMNS.filter((column): column is WrittenColumn => !ORIGIN.includes(column)),
  'near_foot',
];
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
