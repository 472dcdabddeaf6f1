import { readdirSync, readFileSync } from 'node:fs';
import { analyse, type AnalyseOptions } from '../../../src/lib/findings/analyse.ts';
import type { Findings } from '../../../src/lib/findings/findings.ts';
import type { RunnerAnswer } from '../../../src/lib/practice/runner-answer.ts';
import { readRunnerAnswers } from '../../../src/lib/tables/practice/runner-answers-csv.ts';
import { tableFaultWords } from '../../../src/lib/tables/csv/table-fault.ts';
import { optionsOf, tableOfFile } from './reference-cases.ts';

const CASES = new URL('../../reference/cases-corrected/', import.meta.url);

/** One run of a case of corrected shares: its files, the options, and what R computed (tests/reference/README.md). */
export interface CorrectedRun {
  readonly name: string;
  readonly sightings: URL;
  readonly practice: URL | null;
  readonly options: AnalyseOptions;
  /** `{corrected}` alone. */
  readonly expected: unknown;
}

export function correctedRuns(): CorrectedRun[] {
  return readdirSync(CASES).flatMap((name) => {
    const folder = new URL(`${name}/`, CASES);
    const runs = JSON.parse(readFileSync(new URL('runs.json', folder), 'utf8')) as {
      expected: string;
      sightings: string;
      practice: string | null;
      args: string[];
    }[];
    return runs.map(({ expected, sightings, practice, args }) => ({
      name: `${name}/${expected}`,
      sightings: new URL(sightings, folder),
      practice: practice === null ? null : new URL(practice, folder),
      options: optionsOf(args),
      expected: JSON.parse(readFileSync(new URL(expected, folder), 'utf8')) as unknown,
    }));
  });
}

/** The answers of a practice file, or an error that names its faults. */
export function answersOfFile(bytes: Uint8Array): RunnerAnswer[] {
  const read = readRunnerAnswers(bytes);
  if (!read.ok) throw new Error(read.error.faults.map(tableFaultWords).join('\n'));
  return read.value;
}

export function findingsOfCorrectedRun({ sightings, practice, options }: CorrectedRun): Findings {
  const answers = practice === null ? undefined : answersOfFile(readFileSync(practice));
  return analyse(tableOfFile(readFileSync(sightings)), null, { ...options, practice: answers });
}
