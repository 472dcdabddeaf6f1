import { keptInPlace, terminalColumns, toTheLeft, toTheRight } from './terminal-columns.ts';

/** Columns that the eye can follow: the first to the left, figures to the right, two blanks between. */
export function alignedTable(headings: readonly string[], rows: readonly (readonly string[])[]): string[] {
  const lines = [headings, ...rows].map((line) => line.map(keptInPlace));
  const widths = headings.map((_, column) => Math.max(...lines.map((line) => terminalColumns(line[column] ?? ''))));
  return lines.map((line) =>
    line
      .map((cell, column) => (column === 0 ? toTheLeft(cell, widths[column]!) : toTheRight(cell, widths[column]!)))
      .join('  ')
      .trimEnd(),
  );
}
