import { describe, expect, it } from 'vitest';
import { demoRace } from '../../src/lib/demo/demo-race.ts';
import type { ResultRow } from '../../src/lib/race/race.ts';
import { entriesOf, viewOfRace, type RaceView } from '../../src/lib/sightings/race-view.ts';
import { tableOfRecords } from '../../src/lib/sightings/table-of-records.ts';
import { resolveRace } from '../../src/lib/findings/resolved-race.ts';
import { anonymityOf } from '../../src/lib/tables/coded-export/anonymity.ts';
import {
  coarseAge,
  coarseFinish,
  COARSENING_STEPS,
  NOTHING_KEPT,
  type CoarseningStep,
  type KeptColumns,
} from '../../src/lib/tables/coded-export/coarsening-steps.ts';
import { codedLists, type RaceLists } from '../../src/lib/tables/coded-export/coded-lists.ts';
import { codedView } from '../../src/lib/tables/coded-export/coded-view.ts';
import { RESULTS_COLUMNS, START_LIST_COLUMNS } from '../../src/lib/tables/organiser/list-columns.ts';
import { checkpointColumns, runnerColumns, runnerRows } from '../../src/lib/tables/sightings/runner-table.ts';
import { tableCsv } from '../../src/lib/tables/csv/table-csv.ts';
import { sightingsCsv } from '../../src/lib/tables/sightings/sightings-csv.ts';

// The attacker holds the published start list and results with bibs, knows the step, and joins them with every column of the
// export. The race is the invented one.
const { race, startList, results, records } = demoRace();
const view = viewOfRace(race, records);
const lists = { startList, results };

/** Codes that say nothing of the bib: a fixed shuffle of the numbers. */
const everyBib = [...new Set([...startList.map(({ bib }) => bib), ...results.map(({ bib }) => bib)])];
for (const { bib } of entriesOf(view)) if (bib !== null && !everyBib.includes(bib)) everyBib.push(bib);
const codeOf = (bib: string): string =>
  `C${(((everyBib.indexOf(bib) + 1) * 7919) % 1_000_003).toString(36).padStart(5, '0')}`;
const codes = { ofBib: codeOf, ofRunner: (runner: string) => `P${runner.length}` };

const exportAt = (step: CoarseningStep, kept: KeptColumns = NOTHING_KEPT) => ({
  lists: codedLists(lists, codes, step, kept),
  view: codedView(view, codeOf, step, kept),
});

const sorted = (row: object): [string, unknown][] => Object.entries(row).sort(([a], [b]) => (a < b ? -1 : 1));

/** What an attacker makes of a published row: all that the export says of such a runner. */
function asExported(row: ResultRow, step: CoarseningStep): string {
  const { finish, sex, age } = row;
  return JSON.stringify([
    finish === undefined ? null : coarseFinish(finish, step),
    step.sex ? (sex ?? null) : null,
    coarseAge(age, step) ?? null,
  ]);
}

describe('an attack on the export with codes', () => {
  it.each(COARSENING_STEPS.map((step) => [step.id, step] as const))(
    'names nobody beyond what was printed: %s',
    (_, step) => {
      const coded = exportAt(step);
      const printed = anonymityOf(coded.lists);
      const byValues = new Map<string, string[]>();
      for (const { bib, finish, sex, age } of coded.lists.results) {
        const key = JSON.stringify([finish ?? null, sex ?? null, age ?? null]);
        byValues.set(key, [...(byValues.get(key) ?? []), bib]);
      }
      let named = 0;
      for (const row of results) {
        const candidates = byValues.get(asExported(row, step)) ?? [];
        expect(candidates).toContain(codeOf(row.bib));
        if (candidates.length === 1) named += 1;
      }
      expect(named).toBeLessThanOrEqual(printed.unique);
    },
  );

  it.each(
    COARSENING_STEPS.flatMap((step) =>
      [NOTHING_KEPT, { team: true, start: true, placeTimes: true }].map((kept) => [step.id, kept, step] as const),
    ),
  )(
    'names nobody beyond what was printed, joined by every column of both lists and of the places: %s, %o',
    (_, kept, step) => {
      // Whoever stands at the course with the published lists has seen where and when each runner passed.
      const coded = exportAt(step, kept);
      const seen = (of: RaceView): Map<string, string> => {
        const places = new Map<string, string>();
        if (!kept.placeTimes) return places;
        for (const { bib, checkpoint, observedAt } of entriesOf(of)) {
          if (bib !== null) places.set(bib, `${places.get(bib) ?? ''} ${checkpoint} ${observedAt}`);
        }
        return places;
      };
      const told = (of: RaceLists, at: Map<string, string>): Map<string, string> => {
        const values = new Map<string, unknown[]>();
        for (const { bib, runner: _runner, name: _name, ...rest } of of.startList) values.set(bib, [sorted(rest)]);
        for (const { bib, runner: _runner, ...rest } of of.results) {
          values.set(bib, [...(values.get(bib) ?? []), sorted(rest)]);
        }
        return new Map([...values].map(([bib, parts]) => [bib, JSON.stringify([...parts, at.get(bib) ?? ''])]));
      };
      // The attacker coarsens what is published in the same way, and looks for the one coded runner like it.
      const known = told(
        codedLists(lists, { ofBib: (bib) => bib, ofRunner: codes.ofRunner }, step, kept),
        seen(codedView(view, (bib) => bib, step, kept)),
      );
      const exported = new Map<string, string[]>();
      for (const [code, values] of told(coded.lists, seen(coded.view))) {
        exported.set(values, [...(exported.get(values) ?? []), code]);
      }
      let named = 0;
      for (const [bib, values] of known) {
        const candidates = exported.get(values) ?? [];
        expect(candidates).toContain(codeOf(bib));
        if (candidates.length === 1) named += 1;
      }
      const printed = anonymityOf(coded.lists, kept.placeTimes ? seen(coded.view) : undefined);
      expect(named).toBe(printed.unique);
    },
  );

  it('hides more with every step, and nearly all at the coarsest', () => {
    const counts = COARSENING_STEPS.map((step) => anonymityOf(exportAt(step).lists));
    const hidden = counts.map(({ sharedByFive }) => sharedByFive);
    expect([...hidden].sort((a, b) => a - b)).toEqual(hidden);
    expect(counts[0]!.unique / counts[0]!.rows).toBeGreaterThan(0.5);
    expect(counts.at(-1)!.sharedByFive / counts.at(-1)!.rows).toBeGreaterThan(0.98);
  });

  it('finds no bib, name, note, device, counter or time of the second in any table', () => {
    const step = COARSENING_STEPS[1];
    const coded = exportAt(step);
    const table = tableOfRecords(coded.view);
    const { used, classes } = resolveRace(table, 'exclude');
    const tables = [
      [...sightingsCsv(coded.view)],
      [...tableCsv(START_LIST_COLUMNS, coded.lists.startList)],
      [...tableCsv(RESULTS_COLUMNS, coded.lists.results)],
      [
        ...tableCsv(
          runnerColumns(checkpointColumns(table)),
          runnerRows({ table, used, classes, ...coded.lists, withoutPlaceTimes: true }),
        ),
      ],
    ].map((lines) => lines.slice(1).join(''));
    const cells = new Set(tables.join('').split(/[,\r\n]+/));
    for (const record of records.slice(0, 3000)) {
      for (const secret of [record.id, record.device, record.madeAt]) expect(cells.has(secret)).toBe(false);
    }
    for (const { name } of startList) if (name) expect(cells.has(name)).toBe(false);
    for (const cell of cells) if (/^\d{4}-\d\d-\d\dT/.test(cell)) expect(cell).toMatch(/T00:00:00\.000Z$/);
    // Rows by code: their order says nothing of the order of the finish.
    const order = coded.lists.results.map(({ bib }) => bib);
    expect([...order].sort()).toEqual(order);
  });

  it('keeps every class: the figures on feet are those of the race', () => {
    const step = COARSENING_STEPS[2];
    const count = (table: ReturnType<typeof tableOfRecords>): string => {
      const { classes } = resolveRace(table, 'exclude');
      const found = new Map<string, number>();
      for (let i = 0; i < classes.size; i += 1) {
        const key = `${classes.checkpoint[i]!} ${classes.outcome[i]!}`;
        found.set(key, (found.get(key) ?? 0) + 1);
      }
      return JSON.stringify([...found].sort());
    };
    expect(count(tableOfRecords(exportAt(step).view))).toBe(count(tableOfRecords(view)));
  });
});

it('counts rows that share all their values, by hand', () => {
  const runner = (bib: string, finish: number, sex: string): ResultRow => ({ bib, finish, sex });
  const rows = [
    ...Array.from({ length: 5 }, (_, i) => runner(`a${i}`, 300, 'F')),
    runner('b', 300, 'M'),
    runner('c', 600, 'F'),
  ];
  expect(anonymityOf({ startList: [], results: rows })).toEqual({ rows: 7, unique: 2, sharedByFive: 5, least: 1 });
});
