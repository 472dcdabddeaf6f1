import { isLater } from '../../records/projection.ts';
import { mergeRecords } from '../../records/merge-records.ts';
import { POINT_NAMES } from '../../records/mark-words.ts';
import type { Correction, Mark, Sighting, Withdrawal } from '../../records/record.ts';
import type { RaceView } from '../../sightings/race-view.ts';
import type { Columns } from '../csv/column.ts';
import { tableCsv } from '../csv/table-csv.ts';

/** The table of changes. */
export const CHANGES_COLUMNS = {
  record: {
    type: 'string',
    description: 'Id of the correction or withdrawal.',
    constraints: { required: true },
    names: 'nobody',
    write: ({ change }) => change.id,
  },
  target: {
    type: 'string',
    description: 'Id of the record that it changes.',
    constraints: { required: true },
    names: 'nobody',
    write: ({ change }) => change.target,
  },
  field: { type: 'string', description: 'What it changes.', names: 'nobody', write: ({ field }) => field },
  before: {
    type: 'string',
    description: 'The value before.',
    names: 'person',
    freeText: true,
    write: ({ before }) => before,
  },
  after: {
    type: 'string',
    description: 'The value after.',
    names: 'person',
    freeText: true,
    write: ({ after }) => after,
  },
  by: {
    type: 'string',
    description: 'Code of who changed it.',
    names: 'nobody',
    freeText: true,
    write: ({ change }) => change.observer,
  },
  when: { type: 'datetime', description: 'When, UTC.', names: 'nobody', write: ({ change }) => change.madeAt },
} as const satisfies Columns<ChangeRow>;

/** One field that one correction or withdrawal changes. */
interface ChangeRow {
  readonly change: Correction | Withdrawal;
  readonly field: string;
  readonly before: string;
  readonly after: string;
}

const MARK_FIELDS = ['foot', 'event', 'frame', ...POINT_NAMES] as const;
const FIELDS = ['checkpoint', 'bib', 'gait', 'left', 'right', ...MARK_FIELDS] as const;
type Values = Partial<Record<(typeof FIELDS)[number], string>>;

/**
 * Writes the table of changes, by the time they were made: who changed what, from which value to which.
 *
 * A correction has a row for each field that it changes (for each that it names, if it changes none). `before` is what
 * stood when it was made: the sighting with the earlier corrections of it that were not withdrawn. A correction that was
 * itself withdrawn is listed like the others and followed by its withdrawal. A withdrawal has one row: field `withdrawn`,
 * from `no` to `yes`. Where the target is not among the records, `before` is empty.
 */
export function changesCsv(view: RaceView): Generator<string> {
  return tableCsv(CHANGES_COLUMNS, changeRows(view));
}

function* changeRows({ race, records, projection }: RaceView): Generator<ChangeRow> {
  const names = new Map(race.checkpoints.map((checkpoint) => [checkpoint.id, checkpoint.name]));
  const nameOf = (id: string) => names.get(id) ?? id;
  const changes: (Correction | Withdrawal)[] = [];
  const targets = new Map<string, Values | undefined>();
  const all = mergeRecords(records).records;
  for (const record of all) {
    if (record.kind !== 'correction' && record.kind !== 'withdrawal') continue;
    changes.push(record);
    if (record.kind === 'correction') targets.set(record.target, undefined);
  }
  for (const record of all) {
    if (!targets.has(record.id)) continue;
    if (record.kind === 'sighting') targets.set(record.id, sightingValues(record, nameOf));
    if (record.kind === 'mark') targets.set(record.id, markValues(record));
  }
  changes.sort((a, b) => (isLater(a, b) ? 1 : -1));

  for (const change of changes) {
    if (change.kind === 'withdrawal') {
      yield { change, field: 'withdrawn', before: 'no', after: 'yes' };
      continue;
    }
    const before = targets.get(change.target);
    const after = correctionValues(change, nameOf);
    const named = FIELDS.filter((field) => after[field] !== undefined);
    const changed = named.filter((field) => after[field] !== before?.[field]);
    for (const field of changed.length > 0 ? changed : named) {
      yield { change, field, before: before?.[field] ?? '', after: after[field] ?? '' };
    }
    if (before && !projection.withdrawn.has(change.id)) targets.set(change.target, { ...before, ...after });
  }
}

function sightingValues(
  { checkpoint, bib, gait = 'run', left, right }: Sighting,
  nameOf: (id: string) => string,
): Values {
  return { checkpoint: nameOf(checkpoint), bib: bib ?? '', gait, left, right };
}

function correctionValues(
  { checkpoint, bib, gait = 'run', left, right, ...mark }: Correction,
  nameOf: (id: string) => string,
): Values {
  return {
    ...(checkpoint === undefined ? {} : { checkpoint: nameOf(checkpoint) }),
    ...(bib === undefined ? {} : { bib: bib ?? '' }),
    ...(left === undefined || right === undefined ? {} : { gait, left, right }),
    ...markValues(mark),
  };
}

/** What a mark, or a correction of one, says; points as `x y`. */
function markValues(mark: Partial<Pick<Mark, (typeof MARK_FIELDS)[number]>>): Values {
  const values: Values = {};
  for (const field of MARK_FIELDS) {
    const value = mark[field];
    if (value !== undefined) values[field] = Array.isArray(value) ? value.join(' ') : String(value);
  }
  return values;
}
