const NEEDS_QUOTES = /[",\r\n]/;

/** One row of a table as RFC 4180 writes it, its line end included. */
export function csvLine(cells: readonly string[]): string {
  return `${cells.map((cell) => (NEEDS_QUOTES.test(cell) ? `"${cell.replaceAll('"', '""')}"` : cell)).join(',')}\r\n`;
}
