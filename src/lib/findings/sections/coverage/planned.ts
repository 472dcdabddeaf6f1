import type { ExpectedRunners } from '../../../plan/kept-plan.ts';
import { count } from '../../../words/numbers.ts';
import type { Findings } from '../../findings.ts';
import { say, strong, type Sentence } from '../../sentences/sentences-parts.ts';
import type { TableData } from '../../series-picture.ts';

/** What the plan of a race expected, and what came of it. */
export interface PlannedAgainstGot {
  readonly rows: readonly { readonly what: string; readonly expected: number; readonly got: number }[];
}

/** `null` without a plan. Places that the plan knew and nobody was sighted at count 0. */
export function plannedAgainstGot(findings: Findings, expected: ExpectedRunners | null): PlannedAgainstGot | null {
  if (expected === null) return null;
  const rows = expected.places.map(({ checkpoint, classified }) => ({
    what: `at ${checkpoint}`,
    expected: Math.round(classified),
    got: findings.shares.find((entry) => entry.checkpoint === checkpoint)?.classified ?? 0,
  }));
  const { shift } = findings;
  const same = shift !== null && shift.early === expected.early && shift.late === expected.late;
  if (expected.pairs !== null && same) {
    rows.push({ what: 'at both', expected: Math.round(expected.pairs), got: shift.paired });
  }
  return { rows };
}

export function plannedWords({ rows }: PlannedAgainstGot): Sentence {
  const parts = rows.map(
    ({ what, expected, got }, i) =>
      say`${i === 0 ? 'about ' : ''}${count(expected)} ${i === 0 ? 'classified ' : ''}${what}, ${strong(count(got))} were`,
  );
  return say`The plan expected ${parts.reduce((all, one, i) => (i === 0 ? one : say`${all}; ${one}`), say``)}.`;
}

export function plannedTable({ rows }: PlannedAgainstGot): TableData {
  return {
    caption: 'Classified runners: what the plan expected, about, and what came',
    columns: ['runners classified', 'expected', 'got', 'difference'],
    rows: rows.map(({ what, expected, got }) => [what, count(expected), count(got), count(got - expected)]),
  };
}
