import type { ResultRow, StartListRow } from '../race/race.ts';
import { csvLine } from './csv-line.ts';
import { guardCell } from './spreadsheet-guard.ts';

export const START_LIST_COLUMNS = ['bib', 'runner_code', 'name', 'sex', 'age', 'team', 'start'] as const;
export const RESULTS_COLUMNS = ['bib', 'runner_code', 'finish', 'sex', 'age', 'status'] as const;

const number = (value: number | undefined) => (value === undefined ? '' : String(value));

/** The start list as CSV, one row a runner. */
export function* startListCsv(rows: readonly StartListRow[]): Generator<string> {
  yield csvLine(START_LIST_COLUMNS);
  for (const { bib, runner = '', name = '', sex = '', age, team = '', start = '' } of rows) {
    yield csvLine([
      guardCell(bib),
      guardCell(runner),
      guardCell(name),
      guardCell(sex),
      number(age),
      guardCell(team),
      start,
    ]);
  }
}

/** The results as CSV, one row a starter; `finish` in seconds, empty for no finish. */
export function* resultsCsv(rows: readonly ResultRow[]): Generator<string> {
  yield csvLine(RESULTS_COLUMNS);
  for (const { bib, runner = '', finish, sex = '', age, status = '' } of rows) {
    yield csvLine([guardCell(bib), guardCell(runner), number(finish), guardCell(sex), number(age), guardCell(status)]);
  }
}
