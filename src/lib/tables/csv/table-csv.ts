import type { Column, Columns } from './column.ts';
import { csvLine } from './csv-line.ts';
import { guardCell } from './spreadsheet-guard.ts';

/** The codes that take the place of what names a person. */
export interface Coding {
  readonly bib: (bib: string) => string;
  readonly runner: (code: string) => string;
}

/**
 * A table as CSV, line by line, its headings first. Free text that a spreadsheet would take for a formula is guarded (see
 * `guardCell`), bibs such as `-12` included.
 *
 * @param coding given, nothing in the table names a person: see `Column.names`
 */
export function* tableCsv<Row>(columns: Columns<Row>, rows: Iterable<Row>, coding?: Coding): Generator<string> {
  yield csvLine(Object.keys(columns));
  const cells = Object.values(columns).map((column) => cellWriter(column, coding));
  for (const row of rows) yield csvLine(cells.map((cell) => cell(row)));
}

function cellWriter<Row>({ names, freeText, write }: Column<Row>, coding: Coding | undefined): (row: Row) => string {
  if (coding && names === 'person') return () => '';
  const coded = coding && (names === 'bib' || names === 'runner') ? coding[names] : undefined;
  if (coded) {
    return (row) => {
      const text = write(row);
      return text === '' ? '' : coded(text);
    };
  }
  return freeText ? (row) => guardCell(write(row)) : write;
}
