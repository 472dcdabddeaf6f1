import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { command } from '../../src/cli/findings/analyse.ts';
import { findingsResult } from '../../src/lib/ui/findings/worker/findings-result.ts';
import { practiceInUse } from '../../src/lib/ui/findings/choices/practice-in-use.ts';
import { catchOutput } from '../helpers/catch-output.ts';
import { answersOfFile, correctedRuns } from '../helpers/findings/corrected-cases.ts';
import { figureDifferences } from '../helpers/findings/figure-differences.ts';
import { tableOfFile } from '../helpers/findings/reference-cases.ts';

const run = correctedRuns().find(({ name }) => name === 'practice/expected.json')!;
const table = tableOfFile(readFileSync(run.sightings));
const race = { id: 'r', name: 'Causeway Half', date: '2032-05-12', checkpoints: [] };

const pageOf = (file: URL | null) =>
  findingsResult(
    {
      ...{ stored: { id: 'r', race }, table, marks: null, offCourse: 0, results: null, startList: [], expected: null },
      practice: practiceInUse(
        file ? { from: 'file', name: 'practice.csv', answers: answersOfFile(readFileSync(file)) } : { from: 'none' },
        [],
        table.observers,
      ),
    },
    {},
  ).result;

describe('a practice file on Findings', () => {
  // The expected figures were computed in R apart from this program; see tests/reference/README.md.
  it('gives the figures that R gives, and those of the command line', async () => {
    const page = pageOf(run.practice);
    expect(figureDifferences(run.expected, page.findings)).toEqual([]);
    const { said, io } = catchOutput();
    await command.run(['--sightings', run.sightings.pathname, '--practice', run.practice!.pathname, '--json'], io);
    expect(JSON.parse(JSON.stringify(page.findings))).toEqual(JSON.parse(said.out));
    expect(page.practice).toMatchObject({ from: 'file', answers: 228, observers: ['T1', 'T2', 'T3', 'T4'] });
  });

  it('leaves the shares as read when it is taken out', () => {
    expect(pageOf(null).findings.corrected).toBeNull();
  });
});
