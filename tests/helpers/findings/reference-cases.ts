import { readdirSync, readFileSync } from 'node:fs';
import { analyse, type AnalyseOptions } from '../../../src/lib/findings/analyse.ts';
import type { Findings } from '../../../src/lib/findings/findings.ts';
import type { SightingTable } from '../../../src/lib/sightings/sighting-table.ts';
import { readOrganiserFile } from '../../../src/lib/tables/organiser/organiser-file.ts';
import { SightingsReader } from '../../../src/lib/tables/sightings/sightings-reader.ts';
import { tableFaultWords } from '../../../src/lib/tables/csv/table-fault.ts';

const CASES = new URL('../../reference/cases/', import.meta.url);

/** One run of a case: its files, the options, and the figures that R computed (tests/reference/README.md). */
export interface ReferenceRun {
  readonly name: string;
  readonly sightings: URL;
  readonly results: URL | null;
  readonly options: AnalyseOptions;
  readonly expected: unknown;
}

export function optionsOf(args: readonly string[]): AnalyseOptions {
  const valueOf = (name: string) => (args.includes(name) ? args[args.indexOf(name) + 1] : undefined);
  const level = valueOf('--level');
  return {
    early: valueOf('--early'),
    late: valueOf('--late'),
    level: level === undefined ? undefined : Number(level),
    singleFoot: valueOf('--single-foot') === 'use' ? 'use' : 'exclude',
  };
}

/** All runs of all cases. */
export function referenceRuns(): ReferenceRun[] {
  return readdirSync(CASES).flatMap((name) => {
    const folder = new URL(`${name}/`, CASES);
    const runs = JSON.parse(readFileSync(new URL('runs.json', folder), 'utf8')) as {
      expected: string;
      results: string | null;
      args: string[];
    }[];
    return runs.map(({ expected, results, args }) => ({
      name: `${name}/${expected}`,
      sightings: new URL('sightings.csv', folder),
      results: results === null ? null : new URL(results, folder),
      options: optionsOf(args),
      expected: JSON.parse(readFileSync(new URL(expected, folder), 'utf8')) as unknown,
    }));
  });
}

/** The table of a sightings file, or an error that names its faults. */
export function tableOfFile(bytes: Uint8Array): SightingTable {
  const reader = new SightingsReader();
  reader.push(bytes);
  const read = reader.finish();
  if (!read.ok) throw new Error(read.error.faults.map(tableFaultWords).join('\n'));
  return read.value.table;
}

export function findingsOfRun({ sightings, results, options }: ReferenceRun): Findings {
  const read = results && readOrganiserFile(readFileSync(results), 'results');
  if (read && read.faultCount > 0) throw new Error(read.faults.map(tableFaultWords).join('\n'));
  return analyse(tableOfFile(readFileSync(sightings)), read && read.rows, options);
}
