import { describe, expect, it } from 'vitest';
import { figureDifferences } from '../helpers/findings/figure-differences.ts';
import { findingsOfRun, referenceRuns } from '../helpers/findings/reference-cases.ts';

const runs = referenceRuns();

// Computed in R apart from this program: tests/reference/README.md names script, versions and procedures.
describe('figures of every reference case', () => {
  it('finds all of them', () => {
    expect(runs.length).toBeGreaterThanOrEqual(16);
  });

  it.each(runs.map((run) => [run.name, run] as const))('%s', (_, run) => {
    expect(figureDifferences(run.expected, findingsOfRun(run))).toEqual([]);
  });
});

describe('figureDifferences', () => {
  it('finds what differs', () => {
    expect(figureDifferences({ a: 1, p: 1e-20 }, { a: 1 + 1e-13, p: 1e-20, b: 2 })).toEqual([]);
    expect(figureDifferences({ p: 1e-20 }, { p: 0 })).toHaveLength(1);
    expect(figureDifferences({ a: 1 }, { a: 1 + 1e-8 })).toHaveLength(1);
    expect(figureDifferences({ a: null }, { a: 0 })).toHaveLength(1);
    expect(figureDifferences({ a: null }, {})).toHaveLength(1);
    expect(figureDifferences({ a: [1, 2] }, { a: [1] })).not.toEqual([]);
    expect(figureDifferences({ shift: { trend: { se: 1 } } }, { shift: { trend: { se: 1 + 1e-7 } } })).toEqual([]);
  });
});
