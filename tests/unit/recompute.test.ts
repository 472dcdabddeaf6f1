import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { demoRace } from '../../src/lib/demo/demo-race.ts';
import { described, type AboutFindings } from '../../src/lib/findings/about-findings.ts';
import { analyse } from '../../src/lib/findings/analyse.ts';
import type { Findings } from '../../src/lib/findings/findings.ts';
import { withoutTimesOfFew } from '../../src/lib/findings/times-of-few.ts';
import { viewOfRace } from '../../src/lib/sightings/race-view.ts';
import { tableOfRecords } from '../../src/lib/sightings/table-of-records.ts';
import { COARSENING_STEPS, NOTHING_KEPT } from '../../src/lib/tables/coded-export/coarsening-steps.ts';
import { codedLists } from '../../src/lib/tables/coded-export/coded-lists.ts';
import { codedView } from '../../src/lib/tables/coded-export/coded-view.ts';
import { RESULTS_COLUMNS } from '../../src/lib/tables/organiser/list-columns.ts';
import { tableCsv } from '../../src/lib/tables/csv/table-csv.ts';
import { readOrganiserFile } from '../../src/lib/tables/organiser/organiser-file.ts';
import { sightingsCsv } from '../../src/lib/tables/sightings/sightings-csv.ts';
import { findingsOfRun, referenceRuns } from '../helpers/findings/reference-cases.ts';

// R's own procedures on the exported tables: the script that goes along with every export.
const SCRIPT = new URL('../../src/lib/ui/export/recompute.R', import.meta.url).pathname;
const hasR = spawnSync('Rscript', ['--version']).status === 0;

const folders: string[] = [];
afterAll(() => folders.forEach((folder) => rmSync(folder, { recursive: true })));

const ABOUT: Parameters<typeof described>[1] = {
  version: '0',
  made: '2026-10-05T00:00:00Z',
  race: { name: 'Invented', date: '2026-10-04' },
  inputs: {},
  level: 0.95,
  singleFoot: 'exclude',
  coded: false,
  coarsened: null,
};

function recomputed(
  files: { sightings: string; results: string | null; findings: Findings },
  about: Partial<AboutFindings> = {},
): string {
  const folder = mkdtempSync(join(tmpdir(), 'kerbside-recompute-'));
  folders.push(folder);
  writeFileSync(join(folder, 'sightings.csv'), files.sightings);
  if (files.results !== null) writeFileSync(join(folder, 'results.csv'), files.results);
  writeFileSync(join(folder, 'findings.json'), JSON.stringify(described(files.findings, { ...ABOUT, ...about })));
  const run = spawnSync('Rscript', [SCRIPT, folder], { encoding: 'utf8' });
  return `${run.stdout}${run.stderr}`;
}

describe.skipIf(!hasR)('the script that computes an export again', () => {
  const { race, startList, results, records } = demoRace();
  const view = viewOfRace(race, records);

  it('finds the figures of the demo race', () => {
    const findings = analyse(tableOfRecords(view), results);
    const said = recomputed({
      ...{
        sightings: [...sightingsCsv(view)].join(''),
        results: [...tableCsv(RESULTS_COLUMNS, results)].join(''),
        findings,
      },
    });
    expect(said).toMatch(/\b[1-9]\d+ figures computed again, 0 differ\./);
  });

  it('finds those of an export with codes', () => {
    const bibs = [...new Set([...startList, ...results].map(({ bib }) => bib))];
    const codeOf = (bib: string): string => `C${bibs.includes(bib) ? bibs.length - bibs.indexOf(bib) : bib}`;
    const codes = { ofBib: codeOf, ofRunner: (runner: string) => runner };
    for (const step of [COARSENING_STEPS[1], COARSENING_STEPS[5]]) {
      const lists = codedLists({ startList, results }, codes, step, NOTHING_KEPT);
      const coded = codedView(view, codeOf, step, NOTHING_KEPT);
      const findings = withoutTimesOfFew(analyse(tableOfRecords(coded), lists.results));
      const said = recomputed(
        {
          sightings: [...sightingsCsv(coded)].join(''),
          results: [...tableCsv(RESULTS_COLUMNS, lists.results)].join(''),
          findings,
        },
        { coded: true, coarsened: step.words },
      );
      expect(said).toContain(step.words);
      expect(said).toMatch(/, 0 differ\./);
    }
  });

  it('says which figure is not what the tables give', () => {
    const findings = analyse(tableOfRecords(view), results);
    const wrong = { ...findings, shift: { ...findings.shift!, paired: findings.shift!.paired + 1 } };
    const said = recomputed({
      ...{
        sightings: [...sightingsCsv(view)].join(''),
        results: [...tableCsv(RESULTS_COLUMNS, results)].join(''),
        findings: wrong,
      },
    });
    expect(said).toMatch(/runners at both .*<- differs/);
    expect(said).toMatch(/, 1 differ\./);
  });

  // Rulings, clips, walkers and one seen foot: the roads from sightings to classes.
  it.each(
    referenceRuns()
      .filter(({ name }) => /^(rulings|walkers|two-points)\//.test(name))
      .map((run) => [run.name, run] as const),
  )('finds the figures of %s', (_, run) => {
    // As the export writes results: seconds, and the headings of its own.
    const results =
      run.results &&
      [...tableCsv(RESULTS_COLUMNS, readOrganiserFile(readFileSync(run.results), 'results').rows)].join('');
    const said = recomputed(
      { sightings: readFileSync(run.sightings, 'utf8'), results, findings: findingsOfRun(run) },
      { level: run.options.level ?? 0.95, singleFoot: run.options.singleFoot ?? 'exclude' },
    );
    expect(said).toMatch(/[1-9]\d* figures computed again, 0 differ\./);
  });
});
