import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { analyse, type AnalyseOptions } from '../../src/lib/findings/analyse.ts';
import { analyseMarks } from '../../src/lib/findings/analyse-marks.ts';
import { marksAgainstSightings } from '../../src/lib/tables/clips/marks-against-sightings.ts';
import { readMarks, type ReadMarks } from '../../src/lib/tables/clips/marks-reader.ts';
import { readOrganiserFile } from '../../src/lib/tables/organiser/organiser-file.ts';
import { SightingsReader } from '../../src/lib/tables/sightings/sightings-reader.ts';
import { tableFaultWords } from '../../src/lib/tables/csv/table-fault.ts';
import { figureDifferences } from '../helpers/findings/figure-differences.ts';
import { optionsOf } from '../helpers/findings/reference-cases.ts';
import { unexplainedNulls } from '../helpers/findings/unexplained-nulls.ts';

// Every case was computed in R by the script beside them (tests/reference/gait.R) and again in Python (gait-second.py).
const CASES = new URL('../reference/cases-gait/', import.meta.url);

interface Run {
  expected: string;
  sightings: string | null;
  marks: string | null;
  results: string | null;
  args: string[];
}

function marksOf(folder: URL, name: string): ReadMarks {
  const read = readMarks(readFileSync(new URL(name, folder)));
  if (!read.ok) throw new Error(read.error.faults.map(tableFaultWords).join('\n'));
  return read.value;
}

function findingsOf(folder: URL, { sightings, marks, results, args }: Run) {
  const options: AnalyseOptions = optionsOf(args);
  const marked = marks === null ? null : marksOf(folder, marks);
  if (sightings === null) return analyseMarks(marked!.table, options);
  const reader = new SightingsReader();
  reader.push(readFileSync(new URL(sightings, folder)));
  const read = reader.finish();
  if (!read.ok) throw new Error(read.error.faults.map(tableFaultWords).join('\n'));
  expect(marked ? marksAgainstSightings(marked, read.value.table, read.value.race) : []).toEqual([]);
  const field = results === null ? null : readOrganiserFile(readFileSync(new URL(results, folder)), 'results').rows;
  const findings = analyse(read.value.table, field, { ...options, marks: marked?.table });
  expect(unexplainedNulls(findings)).toEqual([]);
  return findings;
}

describe.each(readdirSync(CASES))('gait case %s', (name) => {
  const folder = new URL(`${name}/`, CASES);
  const runs = JSON.parse(readFileSync(new URL('runs.json', folder), 'utf8')) as Run[];
  it.each(runs.map((run) => [run.expected, run] as const))('%s is what R computes', (expected, run) => {
    const figures = JSON.parse(readFileSync(new URL(expected, folder), 'utf8')) as unknown;
    expect(figureDifferences(figures, findingsOf(folder, run))).toEqual([]);
  });
});
