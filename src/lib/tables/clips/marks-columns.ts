import { POINT_NAMES } from '../../records/mark-words.ts';

const POINT_COLUMNS = POINT_NAMES.flatMap((name) => [`${name}_x`, `${name}_y`] as const);

/** The headings of the marks table, in the order in which it is written. */
export const MARKS_COLUMNS = [
  'record_id',
  'race',
  'checkpoint',
  'km',
  'clip',
  'passage',
  'sighting_id',
  'bib',
  'gait',
  'observer',
  'direction',
  'foot',
  'side',
  'event',
  'frame',
  'at_s',
  'gap_s',
  'fps_recorded',
  'timing',
  'width',
  'height',
  'level_deg',
  'lens_off',
  ...POINT_COLUMNS,
  'doubtful',
  'made_at',
  'note',
  'device',
  'seq',
] as const;
export type MarksColumn = (typeof MARKS_COLUMNS)[number];

/** Columns that are written and not read. */
const NOT_READ: readonly MarksColumn[] = ['device', 'seq'];
export const MARKS_COLUMNS_NEEDED = MARKS_COLUMNS.filter((column) => !NOT_READ.includes(column));
