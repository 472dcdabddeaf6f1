import { describe, expect, it } from 'vitest';
import type { Column, Columns } from './column.ts';
import { CHANGES_COLUMNS } from '../sightings/changes-csv.ts';
import { RESULTS_COLUMNS, START_LIST_COLUMNS } from '../organiser/list-columns.ts';
import { SIGHTINGS_COLUMNS } from '../sightings/sightings-columns.ts';
import { tableCsv } from './table-csv.ts';
import { schemaFields } from './table-schema.ts';

const TABLES = { SIGHTINGS_COLUMNS, START_LIST_COLUMNS, RESULTS_COLUMNS, CHANGES_COLUMNS };
const coding = { bib: (bib: string) => `code of ${bib.length}`, runner: () => 'code of a runner' };

describe('a table defined by its columns', () => {
  it('names nobody once coded: codes for bibs and runner codes, nothing for names and free words', () => {
    const secret = 'Alder Quist';
    for (const columns of Object.values(TABLES)) {
      for (const [name, column] of Object.entries(columns) as [string, Column<string>][]) {
        if (column.names === 'nobody') continue;
        const one = { [name]: { ...column, write: (text: string) => text } };
        expect([...tableCsv(one, [secret, ''])].slice(1)).toEqual([`${secret}\r\n`, '\r\n']);
        const [, coded, none] = [...tableCsv(one, [secret, ''], coding)];
        expect(coded, name).not.toContain(secret);
        expect(none, name).toBe('\r\n');
      }
    }
  });

  it('keeps apart by name what names people: a column that does not say so names nobody', () => {
    const naming = Object.fromEntries(
      Object.entries(TABLES).map(([table, columns]) => [
        table,
        Object.entries(columns)
          .filter(([, column]) => column.names !== 'nobody')
          .map(([name]) => name),
      ]),
    );
    expect(naming).toEqual({
      SIGHTINGS_COLUMNS: ['bib', 'note'],
      START_LIST_COLUMNS: ['bib', 'runner_code', 'name'],
      RESULTS_COLUMNS: ['bib', 'runner_code'],
      CHANGES_COLUMNS: ['before', 'after'],
    });
  });

  it('has a dictionary of the same headings in the same order, which says what was done to people’s data', () => {
    for (const columns of Object.values(TABLES)) {
      const [headings] = [...tableCsv(columns as Columns<never>, [])];
      for (const coded of [false, true]) {
        const fields = schemaFields(columns, { coded, coarsened: coded ? 'finish to 5 minutes' : null });
        expect(`${fields.map(({ name }) => name).join(',')}\r\n`).toBe(headings);
        expect(fields.every(({ description }) => description.length > 5)).toBe(true);
      }
    }
    const [bib] = schemaFields(RESULTS_COLUMNS, { coded: true, coarsened: 'finish to 5 minutes' });
    expect(bib?.description).toMatch(/code/);
    const finish = schemaFields(RESULTS_COLUMNS, { coded: false, coarsened: 'finish to 5 minutes' }).find(
      ({ name }) => name === 'finish',
    );
    expect(finish?.description).toMatch(/finish to 5 minutes/);
  });
});
