import type { Race } from '../race/race.ts';
import { CHANGES_COLUMNS } from './sightings/changes-csv.ts';
import { CLIPS_COLUMNS } from './clips/clips-columns.ts';
import { MARKS_COLUMNS } from './clips/marks-columns.ts';
import { STEPS_COLUMNS } from './clips/steps-columns.ts';
import type { Columns, Treatment } from './csv/column.ts';
import { RESULTS_COLUMNS, START_LIST_COLUMNS } from './organiser/list-columns.ts';
import { type CheckpointColumns, runnerColumns } from './sightings/runner-table.ts';
import { SIGHTINGS_COLUMNS } from './sightings/sightings-columns.ts';
import { schemaFields } from './csv/table-schema.ts';
import { PRACTICE_RUNNER_COLUMNS } from './practice/practice-columns.ts';
import { VALIDATION_COLUMNS } from './clips/validation-columns.ts';

/** Tables in which no single column tells the rows apart. */
const WITHOUT_KEY: readonly string[] = ['changes.csv', 'steps.csv', 'validation.csv', 'practice-runners.csv'];

export interface DictionarySource extends Treatment {
  readonly race: Race;
  readonly columns: readonly CheckpointColumns[];
  /** Paths of the tables that are there. */
  readonly paths: readonly string[];
  /** When the export was made, RFC 3339. */
  readonly created: string;
  /** The day by which the receiver is to delete it, if one was named. */
  readonly deleteBy?: string;
}

/**
 * The data dictionary of an export: a Frictionless data package (`datapackage.json`) with a Table Schema for each table
 * that is in it. Formats: RFC 4180, UTF-8, comma, CR LF; missing values are empty.
 */
export function dataDictionary(source: DictionarySource): object {
  const tables: Record<string, Columns<never>> = {
    'sightings.csv': SIGHTINGS_COLUMNS,
    'runners.csv': runnerColumns(source.columns),
    'startlist.csv': START_LIST_COLUMNS,
    'results.csv': RESULTS_COLUMNS,
    'changes.csv': CHANGES_COLUMNS,
    'validation.csv': VALIDATION_COLUMNS,
    'practice-runners.csv': PRACTICE_RUNNER_COLUMNS,
    'clips.csv': CLIPS_COLUMNS,
    'marks.csv': MARKS_COLUMNS,
    'steps.csv': STEPS_COLUMNS,
  };
  const { race } = source;
  return {
    profile: 'tabular-data-package',
    name: 'kerbside-export',
    title: `${race.name}, ${race.date}: foot strike at the kerb`,
    created: source.created,
    ...(source.deleteBy ? { deleteBy: source.deleteBy } : {}),
    description:
      'Runners of a road race classed by the first contact of each foot at checkpoints. A class at one step is no diagnosis. Personal data: handle it as the law of the place and, for research, the ethics board ask.',
    race: {
      date: race.date,
      start: race.start,
      timeZone: race.timeZone,
      km: race.km,
      finishClock: race.finishClock,
      samplingRule: race.samplingRule,
      checkpoints: race.checkpoints.map(({ name, km }) => ({ name, km })),
      observers: (race.observers ?? []).map(({ code, checkpoint, side }) => ({
        code,
        checkpoint: race.checkpoints.find((c) => c.id === checkpoint)?.name,
        side,
      })),
    },
    resources: source.paths
      .filter((path) => tables[path])
      .map((path) => ({
        name: path.replace('.csv', ''),
        path,
        profile: 'tabular-data-resource',
        format: 'csv',
        mediatype: 'text/csv',
        encoding: 'utf-8',
        schema: {
          fields: schemaFields(tables[path]!, source),
          missingValues: [''],
          ...primaryKeyOf(path),
        },
      })),
  };
}

const BY_RECORD = ['sightings.csv', 'marks.csv', 'clips.csv'];

function primaryKeyOf(path: string): { primaryKey?: string } {
  if (WITHOUT_KEY.includes(path)) return {};
  return { primaryKey: BY_RECORD.includes(path) ? 'record_id' : 'bib' };
}
