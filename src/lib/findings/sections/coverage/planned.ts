import type { ExpectedRunners } from '../../../plan/kept-plan.ts';
import type { Findings } from '../../findings.ts';

/** What the plan of a race expected, and what came of it. */
export interface PlannedAgainstGot {
  readonly rows: readonly PlannedRow[];
}

export interface PlannedRow {
  /** Where runners were to be classified; `null`: those classified at both. */
  readonly checkpoint: string | null;
  readonly expected: number;
  readonly got: number;
}

/** `null` without a plan. Places that the plan knew and nobody was sighted at count 0. */
export function plannedAgainstGot(findings: Findings, expected: ExpectedRunners | null): PlannedAgainstGot | null {
  if (expected === null) return null;
  const rows = expected.places.map(({ checkpoint, classified }): PlannedRow => ({
    checkpoint,
    expected: Math.round(classified),
    got: findings.shares.find((entry) => entry.checkpoint === checkpoint)?.classified ?? 0,
  }));
  const { shift } = findings;
  const same = shift !== null && shift.early === expected.early && shift.late === expected.late;
  if (expected.pairs !== null && same) {
    rows.push({ checkpoint: null, expected: Math.round(expected.pairs), got: shift.paired });
  }
  return { rows };
}
