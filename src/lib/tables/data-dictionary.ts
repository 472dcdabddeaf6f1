import { FOOT_VALUES, GAITS } from '../records/foot.ts';
import type { Race } from '../race/race.ts';
import { OUTCOMES } from '../sightings/runner-classes.ts';
import { SIGHTING_METHODS } from '../sightings/sighting-table.ts';
import type { CheckpointColumns } from './runner-table-csv.ts';

interface Field {
  name: string;
  type: 'string' | 'number' | 'integer' | 'datetime';
  description: string;
  format?: string;
  constraints?: { required?: boolean; unique?: boolean; enum?: readonly string[]; minimum?: number };
}

export interface DictionarySource {
  readonly race: Race;
  readonly columns: readonly CheckpointColumns[];
  /** Whether codes stand in place of bibs. */
  readonly coded: boolean;
  /** Whether finish times are rounded to the minute. */
  readonly rounded: boolean;
  /** Paths of the tables that are there. */
  readonly paths: readonly string[];
  /** When the export was made, RFC 3339. */
  readonly created: string;
  /** The day by which the receiver is to delete it, if one was named. */
  readonly deleteBy?: string;
}

const GUARD =
  'Free text that a spreadsheet program would take for a formula (it begins with =, +, -, @, a tab or a line end), or that begins with an apostrophe, has one apostrophe put in front. Take that one apostrophe off to have the text as it was.';

const required = { required: true } as const;

function sightingFields(bib: string): Field[] {
  return [
    {
      name: 'record_id',
      type: 'string',
      description: 'Id of the record (UUID version 7).',
      constraints: { required: true, unique: true },
    },
    { name: 'race', type: 'string', description: `Name of the race. ${GUARD}` },
    { name: 'checkpoint', type: 'string', description: `Where the runner was seen. ${GUARD}`, constraints: required },
    {
      name: 'km',
      type: 'number',
      description: 'Distance of the checkpoint from the start, km.',
      constraints: { required: true, minimum: 0 },
    },
    { name: 'bib', type: 'string', description: `${bib} Text, never a number: 007 is not 7. Empty: not readable.` },
    {
      name: 'left',
      type: 'string',
      description: 'First contact of the left foot.',
      constraints: { required: true, enum: FOOT_VALUES },
    },
    {
      name: 'right',
      type: 'string',
      description: 'First contact of the right foot.',
      constraints: { required: true, enum: FOOT_VALUES },
    },
    { name: 'observer', type: 'string', description: `Code of the observer. ${GUARD}`, constraints: required },
    {
      name: 'method',
      type: 'string',
      description:
        'live: by eye as the runner passed; clip: slow-motion review; ruling: the lead settles what observers dispute.',
      constraints: { required: true, enum: SIGHTING_METHODS },
    },
    {
      name: 'observed_at',
      type: 'datetime',
      description: 'When the first foot was tapped (a ruling: when it was made), by the clock of the tablet, UTC.',
      constraints: required,
    },
    {
      name: 'gait',
      type: 'string',
      description: 'Whether the runner ran or walked. A walker has both feet unseen.',
      constraints: { enum: GAITS },
    },
    { name: 'note', type: 'string', description: `Free text. ${GUARD}` },
    { name: 'device', type: 'string', description: 'Name of the tablet.' },
    {
      name: 'seq',
      type: 'integer',
      description: 'Counts the records of the tablet in this race from 1; a gap is a record that is missing here.',
      constraints: { minimum: 1 },
    },
    {
      name: 'offset_ms',
      type: 'integer',
      description: 'Clock of the hub minus clock of the tablet, milliseconds, where it was measured.',
    },
    {
      name: 'passed',
      type: 'string',
      description:
        'true: let pass by the sampling rule and counted, not looked at; no attempt to class. Both feet are unseen. Else empty.',
      constraints: { enum: ['true'] },
    },
    {
      name: 'timeEstimated',
      type: 'string',
      description: 'true: keyed in from paper, observed_at lies between two times written on the sheet. Else empty.',
      constraints: { enum: ['true'] },
    },
  ];
}

function runnerFields(bib: string, columns: readonly CheckpointColumns[]): Field[] {
  return [
    { name: 'bib', type: 'string', description: bib, constraints: { required: true, unique: true } },
    { name: 'sex', type: 'string', description: 'As the results have it, else as the start list has it.' },
    { name: 'age', type: 'number', description: 'Years.', constraints: { minimum: 0 } },
    { name: 'team', type: 'string', description: `Team of the start list. ${GUARD}` },
    ...columns.flatMap(({ classColumn, timeColumn, name, km }): Field[] => [
      {
        name: classColumn,
        type: 'string',
        description: `Runner class at ${name}, ${km} km, from all observers there. Empty: not sighted.`,
        constraints: { enum: OUTCOMES },
      },
      {
        name: timeColumn,
        type: 'datetime',
        description: `First sighting in use at ${name}, ${km} km, by the tablet's clock, UTC.`,
      },
    ]),
    {
      name: 'finish',
      type: 'number',
      description: 'Finish time, seconds. Empty: no finish known.',
      constraints: { minimum: 0 },
    },
    { name: 'status', type: 'string', description: `As the results have it, such as DNF. ${GUARD}` },
  ];
}

function listFields(bib: string, runner: string, finish: string): Record<string, Field[]> {
  const person: Field[] = [
    { name: 'sex', type: 'string', description: 'As the organiser wrote it.' },
    { name: 'age', type: 'number', description: 'Years.', constraints: { minimum: 0 } },
  ];
  const key: Field = { name: 'bib', type: 'string', description: bib, constraints: { required: true, unique: true } };
  const code: Field = {
    name: 'runner_code',
    type: 'string',
    description: `${runner} Empty: none.`,
    constraints: { unique: true },
  };
  return {
    'startlist.csv': [
      key,
      code,
      { name: 'name', type: 'string', description: `Empty where bibs are replaced by codes. ${GUARD}` },
      ...person,
      { name: 'team', type: 'string', description: GUARD },
      { name: 'start', type: 'datetime', description: "The runner's own start, UTC, where the list has it." },
    ],
    'results.csv': [
      key,
      code,
      { name: 'finish', type: 'number', description: finish, constraints: { minimum: 0 } },
      ...person,
      { name: 'status', type: 'string', description: GUARD },
    ],
    'changes.csv': [
      { name: 'record', type: 'string', description: 'Id of the correction or withdrawal.', constraints: required },
      { name: 'target', type: 'string', description: 'Id of the record that it changes.', constraints: required },
      { name: 'field', type: 'string', description: 'What it changes.' },
      { name: 'before', type: 'string', description: `The value before. ${GUARD}` },
      { name: 'after', type: 'string', description: `The value after. ${GUARD}` },
      { name: 'by', type: 'string', description: 'Code of who changed it.' },
      { name: 'when', type: 'datetime', description: 'When, UTC.' },
    ],
  };
}

/**
 * The data dictionary of an export: a Frictionless data package (`datapackage.json`) with a Table Schema for each table
 * that is in it. Formats: RFC 4180, UTF-8, comma, CR LF; missing values are empty.
 */
export function dataDictionary(source: DictionarySource): object {
  const bib = source.coded
    ? 'A code drawn at random in place of the bib, the same in every table of this race.'
    : 'Bib as printed.';
  const runner = source.coded
    ? "A code drawn at random in place of the club's own, the same for one person in every race of this device."
    : "The club's own code for the person, the same in every race. Personal data.";
  const finish = source.rounded
    ? 'Seconds, rounded to the whole minute. Empty: no finish.'
    : 'Seconds from the start. Empty: no finish.';
  const fields: Record<string, Field[]> = {
    'sightings.csv': sightingFields(bib),
    'runners.csv': runnerFields(bib, source.columns),
    ...listFields(bib, runner, finish),
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
      .filter((path) => fields[path])
      .map((path) => ({
        name: path.replace('.csv', ''),
        path,
        profile: 'tabular-data-resource',
        format: 'csv',
        mediatype: 'text/csv',
        encoding: 'utf-8',
        schema: {
          fields: fields[path],
          missingValues: [''],
          ...(path === 'changes.csv' ? {} : { primaryKey: path === 'sightings.csv' ? 'record_id' : 'bib' }),
        },
      })),
  };
}
