const NEEDS_QUOTES = /[",\r\n]/;

/**
 * One row of a table as RFC 4180 writes it, its line end included. A NUL character, which only a note sent by a program
 * can hold and which makes every reader take the file for no text, is written as U+FFFD.
 */
export function csvLine(cells: readonly string[]): string {
  return `${cells.map(cellText).join(',')}\r\n`;
}

function cellText(cell: string): string {
  const text = cell.replaceAll('\u0000', '\ufffd');
  return NEEDS_QUOTES.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}
