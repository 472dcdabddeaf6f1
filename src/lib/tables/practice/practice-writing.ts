import { firstRunnerAnswers, type Sessions } from '../../practice/first-runner-answers.ts';
import { practiceRows, type ClipItem } from '../../practice/practice-session.ts';
import { PRACTICE_COLUMNS, PRACTICE_RUNNER_COLUMNS } from './practice-columns.ts';
import { failed, succeeded, type Attempt } from '../../records/attempt.ts';
import { FOOT_CLASSES, type FootClass } from '../../records/foot.ts';
import { readNamedRows, type NamedRow, type TableFaults } from '../csv/named-rows.ts';
import { tableCsv } from '../csv/table-csv.ts';
import { schemaFields } from '../csv/table-schema.ts';

const earliestFirst = (sessions: Sessions) => [...sessions].sort((a, b) => a.session.startedAt - b.session.startedAt);

/** Sessions as `practice.csv`. */
export function practiceCsv(sessions: Sessions): Generator<string> {
  const rows = earliestFirst(sessions).flatMap(({ session, answers }) => practiceRows(session, answers));
  return tableCsv(PRACTICE_COLUMNS, rows);
}

/** Clip sessions as `practice-runners.csv`: runners whose both feet have a class, as each observer answered them first. */
export function practiceRunnersCsv(sessions: Sessions): Generator<string> {
  return tableCsv(PRACTICE_RUNNER_COLUMNS, firstRunnerAnswers(sessions));
}

/** The data dictionary of both tables: a Frictionless data package. */
export function practiceDictionary(created: string): object {
  const treatment = { coded: false, coarsened: null };
  const resource = (name: string, columns: Parameters<typeof schemaFields>[0]) => ({
    name,
    path: `${name}.csv`,
    profile: 'tabular-data-resource',
    encoding: 'utf-8',
    schema: { fields: schemaFields(columns, treatment), missingValues: [''] },
  });
  return {
    profile: 'tabular-data-package',
    name: 'kerbside-practice',
    created,
    resources: [resource('practice', PRACTICE_COLUMNS), resource('practice-runners', PRACTICE_RUNNER_COLUMNS)],
  };
}

const CLIP_COLUMNS = ['item', 'key_left', 'key_right'] as const;

/** Reads the key of a clip set: `item`, `key_left`, `key_right`, a foot without an agreed class empty. */
export function readClipKey(bytes: Uint8Array): Attempt<ClipItem[], TableFaults> {
  const items = new Map<string, { readonly row: number; readonly clip: ClipItem }>();
  const read = readNamedRows<(typeof CLIP_COLUMNS)[number]>(bytes, CLIP_COLUMNS, [], (row) => {
    const item = row.filled('item');
    const keyLeft = keyOf(row, 'key_left');
    const keyRight = keyOf(row, 'key_right');
    if (item === null || keyLeft === undefined || keyRight === undefined) return;
    const known = items.get(item);
    if (known) row.fault('item', `is in row ${known.row} already`, item);
    else items.set(item, { row: row.row, clip: { item, keyLeft, keyRight } });
  });
  return read.ok ? succeeded([...items.values()].map(({ clip }) => clip)) : failed(read.error);
}

/** `null` for an empty cell, `undefined` and a fault for what is no class. */
function keyOf<Column extends string>(row: NamedRow<Column>, column: Column): FootClass | null | undefined {
  return row.text(column) === '' ? null : (row.word(column, FOOT_CLASSES) ?? undefined);
}
