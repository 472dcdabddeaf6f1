import { describe, expect, it } from 'vitest';
import { findingsOfRun, referenceRuns } from '../helpers/findings/reference-cases.ts';
import { unexplainedNulls } from '../helpers/findings/unexplained-nulls.ts';

const runs = referenceRuns();
const notesOf = (name: string): string => {
  const run = runs.find((candidate) => candidate.name === name);
  if (!run) throw new Error(`no reference run ${name}`);
  return findingsOfRun(run).notes.join('\n');
};

describe('notes', () => {
  it.each(runs.map((run) => [run.name, run] as const))('say why each null of %s is one', (_, run) => {
    expect(unexplainedNulls(findingsOfRun(run))).toEqual([]);
  });

  it('are missed when they are not there', () => {
    const findings = findingsOfRun(runs.find(({ name }) => name === 'degenerate/expected.json')!);
    expect(unexplainedNulls({ ...findings, notes: [] }).length).toBeGreaterThan(20);
  });

  it('put the paired test first, and exact or mid-p where few changed', () => {
    const notes = notesOf('small/expected.json');
    expect(notes).toMatch(/paired tests first/);
    expect(notes).toMatch(/Only 5 runners turned to rearfoot/);
    expect(notes).toMatch(/read exactP or midP/);
    expect(notes).toMatch(/expected count .* below 5/);
    expect(notes).toMatch(/in both samples/);
    expect(notes).toMatch(/adjustedP \(Holm\)/);
  });

  it('say that eyes may differ where no observer was at both checkpoints', () => {
    expect(notesOf('two-points/expected.json')).toMatch(/No observer saw runners at both Old Pier and Quarry Hill/);
    expect(notesOf('small/expected.json')).not.toMatch(/No observer/);
  });

  it('read agreement beside prevalence', () => {
    expect(notesOf('one-point/expected.json')).toMatch(/nearly all feet are of one class/);
  });
});
