import { count } from '../../../words/numbers.ts';
import { say, strong, type Sentence } from '../../sentences/sentences-parts.ts';
import type { TableData } from '../../series-picture.ts';
import type { PlannedAgainstGot, PlannedRow } from './planned.ts';

const where = ({ checkpoint }: PlannedRow): string => (checkpoint === null ? 'at both' : `at ${checkpoint}`);

export function plannedWords({ rows }: PlannedAgainstGot): Sentence {
  const parts = rows.map(
    (row, i) =>
      say`${i === 0 ? 'about ' : ''}${count(row.expected)} ${i === 0 ? 'classified ' : ''}${where(row)}, ${strong(count(row.got))} were`,
  );
  return say`The plan expected ${parts.reduce((all, one, i) => (i === 0 ? one : say`${all}; ${one}`), say``)}.`;
}

export function plannedTable({ rows }: PlannedAgainstGot): TableData {
  return {
    caption: 'Classified runners: what the plan expected, about, and what came',
    columns: ['runners classified', 'expected', 'got', 'difference'],
    rows: rows.map((row) => [where(row), count(row.expected), count(row.got), count(row.got - row.expected)]),
  };
}
