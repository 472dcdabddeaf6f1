import type { ResultRow, StartListRow } from '../../race/race.ts';
import { OUTCOMES, type RunnerClasses } from '../../sightings/runner-classes.ts';
import { firstSeen } from '../../sightings/first-seen.ts';
import type { SightingTable } from '../../sightings/sighting-table.ts';
import type { UsedSightings } from '../../sightings/used-sightings.ts';
import { type Columns, numberCell } from '../csv/column.ts';
import { RESULTS_COLUMNS, START_LIST_COLUMNS } from '../organiser/list-columns.ts';
import { PERSON_COLUMNS } from '../csv/person-columns.ts';

/** The columns that one checkpoint has in the runner table. */
export interface CheckpointColumns {
  readonly classColumn: string;
  readonly timeColumn: string;
  readonly name: string;
  readonly km: number;
}

/** Names of columns by km, so that they stay short and free of blanks; checkpoints at one km are told apart by a number. */
export function checkpointColumns(table: SightingTable): CheckpointColumns[] {
  const used = new Map<string, number>();
  return table.checkpoints.map(({ name, km }) => {
    const stem = `km${String(km).replace('.', '_')}`;
    const times = (used.get(stem) ?? 0) + 1;
    used.set(stem, times);
    const unique = times === 1 ? stem : `${stem}_${times}`;
    return { classColumn: `${unique}_class`, timeColumn: `${unique}_time`, name, km };
  });
}

export interface RunnerTableSource {
  readonly table: SightingTable;
  readonly used: UsedSightings;
  readonly classes: RunnerClasses;
  readonly startList: readonly StartListRow[];
  readonly results: readonly ResultRow[];
  /** Whether to leave out when runners were seen at the checkpoints. */
  readonly withoutPlaceTimes?: boolean;
}

/** A row of the runner table: what the lists say, and by checkpoint what was seen. */
export interface RunnerRow {
  readonly bib: string;
  readonly start: StartListRow | undefined;
  readonly result: ResultRow | undefined;
  readonly seen: readonly { readonly outcome: string; readonly at: string }[];
}

/**
 * The runner table: bib, what the lists say, then class and time at each checkpoint, finish and status. The class is the
 * runner's at that checkpoint (a class, `unclassified`, `disputed` or `walking`); empty where nobody sighted the runner.
 * The time is that of the first sighting in use that is no ruling, by the tablet's clock.
 */
export function runnerColumns(checkpoints: readonly CheckpointColumns[]): Columns<RunnerRow> {
  const { bib, sex, age } = PERSON_COLUMNS;
  const ofCheckpoints = checkpoints.flatMap(({ classColumn, timeColumn, name, km }, i) => [
    [
      classColumn,
      {
        type: 'string',
        description: `Runner class at ${name}, ${km} km, from all observers there. Empty: not sighted.`,
        constraints: { enum: OUTCOMES },
        names: 'nobody',
        write: ({ seen }: RunnerRow) => seen[i]!.outcome,
      },
    ],
    [
      timeColumn,
      {
        type: 'datetime',
        description: `First sighting in use at ${name}, ${km} km, by the tablet's clock, UTC.`,
        names: 'nobody',
        write: ({ seen }: RunnerRow) => seen[i]!.at,
      },
    ],
  ]);
  return {
    bib,
    sex: {
      ...sex,
      description: 'As the results have it, else as the start list has it.',
      write: ({ start, result }) => result?.sex ?? start?.sex ?? '',
    },
    age: { ...age, write: ({ start, result }) => numberCell(result?.age ?? start?.age) },
    team: { ...START_LIST_COLUMNS.team, write: ({ start }) => start?.team ?? '' },
    ...(Object.fromEntries(ofCheckpoints) as Columns<RunnerRow>),
    finish: {
      ...RESULTS_COLUMNS.finish,
      write: ({ result }) => numberCell(result?.finish),
    },
    status: { ...RESULTS_COLUMNS.status, write: ({ result }) => result?.status ?? '' },
  };
}

/** One row for each runner who is on the start list, in the results or sighted, by bib, in code-point order. */
export function* runnerRows(source: RunnerTableSource): Generator<RunnerRow> {
  const { table, used, classes, startList, results } = source;
  const places = table.checkpoints.length;
  const outcome = new Map<number, number>();
  for (let row = 0; row < classes.size; row += 1) {
    outcome.set(classes.bib[row]! * places + classes.checkpoint[row]!, classes.outcome[row]!);
  }
  const seenAtMs = firstSeen(table, used);
  const placeOfBib = new Map(table.bibs.map((bib, place) => [bib, place]));
  const listed = new Map(startList.map((row) => [row.bib, row]));
  const finished = new Map(results.map((row) => [row.bib, row]));
  const bibs = [...new Set([...placeOfBib.keys(), ...listed.keys(), ...finished.keys()])];
  bibs.sort((a, b) => (a < b ? -1 : 1));
  for (const bib of bibs) {
    const place = placeOfBib.get(bib);
    const seen = table.checkpoints.map((_, checkpoint) => {
      const key = place === undefined ? -1 : place * places + checkpoint;
      const at = source.withoutPlaceTimes ? undefined : seenAtMs.get(key);
      const is = outcome.get(key);
      return {
        outcome: is === undefined ? '' : OUTCOMES[is]!,
        at: at === undefined ? '' : new Date(at).toISOString(),
      };
    });
    yield { bib, start: listed.get(bib), result: finished.get(bib), seen };
  }
}
