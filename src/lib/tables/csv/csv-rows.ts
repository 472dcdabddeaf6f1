import Papa from 'papaparse';

/** Characters read at a time: small enough that a tablet stays responsive between two of them. */
const WINDOW = 65_536;

export interface RowBatch {
  rows: string[][];
  /** Characters of the text that are read, batch included. */
  readTo: number;
  /** The file ended inside a quoted field that began in the last row. */
  unclosedQuote: boolean;
}

/**
 * The rows of a delimited text (RFC 4180 quoting, line feeds), batch by batch. Blank lines are rows of one empty cell, so
 * that rows can be counted as a spreadsheet counts them.
 */
export function* csvRows(text: string, delimiter: string): Generator<RowBatch> {
  let at = 0;
  let size = WINDOW;
  while (at < text.length) {
    const window = text.slice(at, at + size);
    const last = at + size >= text.length;
    const parser = new Papa.Parser({ delimiter, newline: '\n' });
    const parsed = parser.parse(window, 0, !last) as Papa.ParseResult<string[]>;
    const cursor = last ? window.length : parsed.meta.cursor;
    if (cursor === 0) {
      // One row is longer than the window: take a greater one.
      size *= 2;
      continue;
    }
    at += cursor;
    size = WINDOW;
    const rows = parsed.data;
    // A line feed at the very end closes the last row; it does not begin another.
    if (last && window.endsWith('\n') && rows.length > 0 && rows.at(-1)?.length === 1 && rows.at(-1)?.[0] === '') {
      rows.pop();
    }
    yield { rows, readTo: at, unclosedQuote: parsed.errors.some((error) => error.code === 'MissingQuotes') };
  }
}

/** The first `count` rows of a delimited text. */
export function firstRows(text: string, delimiter: string, count: number): string[][] {
  const found: string[][] = [];
  for (const batch of csvRows(text, delimiter)) {
    found.push(...batch.rows);
    if (found.length >= count) break;
  }
  return found.slice(0, count);
}
