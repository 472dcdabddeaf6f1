import { firstRows } from './csv-rows.ts';
import { recogniseHeadings, type OrganiserField } from '../organiser/organiser-headings.ts';

export const DELIMITERS = [',', ';', '\t', '|'] as const;
export type Delimiter = (typeof DELIMITERS)[number];

/** Headings stand within this many rows: above them organisers write the race's name, date and so on. */
const LOOK_AT_ROWS = 25;
const LOOK_AT_CHARACTERS = 65_536;

export interface Layout<Field extends OrganiserField> {
  delimiter: Delimiter;
  /** The row of the headings, counted from 1; 0 when there are none. */
  headingRow: number;
  headings: string[];
  /** Which column, counted from 0, tells a field. */
  columns: Record<Field, number | null>;
}

const isBlank = (row: readonly string[]) => row.every((cell) => cell.trim() === '');

/** `sep=;` in the first line tells a spreadsheet program the delimiter. */
export function statedDelimiter(text: string): Delimiter | null {
  const stated = /^sep=([,;\t|])[,;\t|]*(?:\n|$)/i.exec(text);
  return stated ? (stated[1] as Delimiter) : null;
}

function headingRowOf<Field extends OrganiserField>(
  rows: readonly string[][],
  fields: readonly Field[],
  required: readonly Field[],
): { row: number; score: number } {
  let best = { row: 0, score: 0 };
  rows.forEach((row, i) => {
    const found = recogniseHeadings(row, fields);
    const named = fields.filter((field) => found[field] !== null).length;
    const needed = required.filter((field) => found[field] !== null).length;
    // Required headings first, then as many as possible; a wider row wins over a title that holds one such word.
    const score = needed * 10_000 + named * 100 + Math.min(99, row.filter((cell) => cell.trim() !== '').length);
    if (named > 0 && score > best.score) best = { row: i + 1, score };
  });
  return best;
}

function widestRow(rows: readonly string[][]): number {
  const widths = rows.map((row) => row.filter((cell) => cell.trim() !== '').length);
  return widths.indexOf(Math.max(...widths)) + 1;
}

const looksLikeBib = (cell: string) => /^(?=.*\d)[\p{L}\p{N}-]{1,16}$/u.test(cell.trim());

/**
 * Finds delimiter, row of headings and the columns of `fields` in the first rows of a text. What a person has chosen
 * (`delimiter`, `headingRow`) stands.
 */
export function findLayout<Field extends OrganiserField>(
  text: string,
  fields: readonly Field[],
  required: readonly Field[],
  chosen: { delimiter?: Delimiter | undefined; headingRow?: number | undefined } = {},
): Layout<Field> {
  const head = text.slice(0, LOOK_AT_CHARACTERS);
  const candidates = chosen.delimiter
    ? [chosen.delimiter]
    : statedDelimiter(head)
      ? [statedDelimiter(head)!]
      : DELIMITERS;
  let best: { delimiter: Delimiter; rows: string[][]; row: number; score: number } | undefined;
  for (const delimiter of candidates) {
    const rows = firstRows(head, delimiter, LOOK_AT_ROWS);
    const { row, score } = headingRowOf(rows, fields, required);
    // Where no heading is known, the delimiter that gives the most columns in most rows.
    const widths = rows.filter((r) => !isBlank(r)).map((r) => r.length);
    const typical = [...widths].sort((a, b) => a - b)[Math.floor(widths.length / 2)] ?? 0;
    const weight = score + Math.min(99, typical) / 100;
    if (!best || weight > best.score) best = { delimiter, rows, row, score: weight };
  }
  const { delimiter, rows, row } = best!;
  const noHeadings = (columns: number): Layout<Field> => ({
    delimiter,
    headingRow: 0,
    headings: Array.from({ length: columns }, (_, i) => `Column ${i + 1}`),
    columns: Object.fromEntries(fields.map((field) => [field, null])) as Record<Field, number | null>,
  });
  const widest = Math.max(1, ...rows.map((r) => r.length));
  if (chosen.headingRow === 0) return noHeadings(widest);
  const filled = rows.filter((r) => !isBlank(r));
  if (
    chosen.headingRow === undefined &&
    row === 0 &&
    widest === 1 &&
    filled.length > 0 &&
    filled.every((r) => looksLikeBib(r[0] ?? ''))
  ) {
    const bibsAlone = noHeadings(1);
    return { ...bibsAlone, columns: { ...bibsAlone.columns, bib: 0 } };
  }
  const headingRow = chosen.headingRow ?? (row > 0 ? row : widestRow(rows));
  const headings = (rows[headingRow - 1] ?? []).map((cell) => cell.trim().replace(/\s+/g, ' '));
  return { delimiter, headingRow, headings, columns: recogniseHeadings(headings, fields) };
}
