import type { ResultRow, StartListRow } from '../race/race.ts';
import { OUTCOMES, type RunnerClasses } from '../sightings/runner-classes.ts';
import { firstSeen } from '../sightings/first-seen.ts';
import type { SightingTable } from '../sightings/sighting-table.ts';
import type { UsedSightings } from '../sightings/used-sightings.ts';
import { csvLine } from './csv-line.ts';
import { guardCell } from './spreadsheet-guard.ts';

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
}

/**
 * One row for each runner who is on the start list, in the results or sighted: bib, what the lists say, then class and
 * time at each checkpoint, finish and status. The class is the runner's at that checkpoint (a class, `unclassified`,
 * `disputed` or `walking`); empty where nobody sighted the runner. The time is that of the first sighting in use that is
 * no ruling, by the tablet's clock. Sorted by bib, by code point.
 */
export function* runnerTableCsv(source: RunnerTableSource): Generator<string> {
  const { table, used, classes, startList, results } = source;
  const columns = checkpointColumns(table);
  const places = columns.length;
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

  yield csvLine([
    'bib',
    'sex',
    'age',
    'team',
    ...columns.flatMap(({ classColumn, timeColumn }) => [classColumn, timeColumn]),
    'finish',
    'status',
  ]);
  for (const bib of bibs) {
    const place = placeOfBib.get(bib);
    const start = listed.get(bib);
    const result = finished.get(bib);
    const age = result?.age ?? start?.age;
    yield csvLine([
      guardCell(bib),
      guardCell(result?.sex ?? start?.sex ?? ''),
      age === undefined ? '' : String(age),
      guardCell(start?.team ?? ''),
      ...columns.flatMap((_, checkpoint) => {
        const key = place === undefined ? -1 : place * places + checkpoint;
        const at = seenAtMs.get(key);
        const is = outcome.get(key);
        return [is === undefined ? '' : OUTCOMES[is]!, at === undefined ? '' : new Date(at).toISOString()];
      }),
      result?.finish === undefined ? '' : String(result.finish),
      guardCell(result?.status ?? ''),
    ]);
  }
}
