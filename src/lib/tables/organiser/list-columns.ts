import type { ResultRow, StartListRow } from '../../race/race.ts';
import { type Columns, numberCell } from '../csv/column.ts';
import { PERSON_COLUMNS } from '../csv/person-columns.ts';

const { bib, runner_code, sex, age } = PERSON_COLUMNS;

/** The start list, one row a runner. */
export const START_LIST_COLUMNS = {
  bib,
  runner_code,
  name: {
    type: 'string',
    description: 'As the organiser wrote it.',
    names: 'person',
    freeText: true,
    write: ({ name = '' }) => name,
  },
  sex,
  age,
  team: {
    type: 'string',
    description: 'Team or club, as the organiser wrote it.',
    names: 'nobody',
    freeText: true,
    write: ({ team = '' }) => team,
  },
  start: {
    type: 'datetime',
    description: 'When the runner crossed the start line, UTC, where the list has it.',
    names: 'nobody',
    write: ({ start = '' }) => start,
  },
} as const satisfies Columns<StartListRow>;

/** The results, one row a starter. */
export const RESULTS_COLUMNS = {
  bib,
  runner_code,
  finish: {
    type: 'number',
    description: ({ coarsened }) =>
      coarsened === null
        ? 'Seconds from the start. Empty: no finish.'
        : `Seconds from the start, coarsened (${coarsened}). Empty: no finish.`,
    constraints: { minimum: 0 },
    names: 'nobody',
    write: ({ finish }) => numberCell(finish),
  },
  sex,
  age,
  status: {
    type: 'string',
    description: 'As the organiser wrote it, such as DNF.',
    names: 'nobody',
    freeText: true,
    write: ({ status = '' }) => status,
  },
} as const satisfies Columns<ResultRow>;
