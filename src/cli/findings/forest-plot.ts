import { shortened, terminalColumns, toTheLeft } from '../output/terminal-columns.ts';

/** One row of a forest plot: an estimate with its interval. */
export interface ForestRow {
  readonly name: string;
  readonly estimate: number;
  readonly low: number;
  readonly high: number;
  /** What is written beside it. */
  readonly words: string;
  /** A pooled mean is a diamond, a prediction interval a line without an estimate. */
  readonly kind: 'race' | 'mean' | 'prediction';
}

const LEAST_PLOT = 20;
const LONGEST_NAME = 24;
const LEAST_NAME = 8;
const MARKS = { race: '■', mean: '◆', prediction: '·' } as const;
/** Blanks on either side of the plot. */
const GAPS = 4;

/**
 * A forest plot in characters, one line a row: name, plot, figures. No line is longer than `width`: names are shortened,
 * and on a terminal too narrow for all three the plot stands on a line of its own below its name and figures. An interval
 * that goes on beyond the plot ends in an arrow.
 *
 * @param width columns of the terminal
 * @param reference a value drawn as a line down the plot, such as no change; `null` for none
 * @param shown from and to of the axis
 */
export function forestPlot(
  rows: readonly ForestRow[],
  width: number,
  reference: number | null,
  shown: { readonly from: number; readonly to: number },
): string[] {
  const wordsWidth = Math.max(0, ...rows.map(({ words }) => words.length));
  const room = width - wordsWidth - GAPS;
  if (room < LEAST_NAME + LEAST_PLOT) {
    return rows.flatMap((row) => [
      `${shortened(row.name, Math.max(1, width - row.words.length - 2))}  ${row.words}`,
      plotLine(row, Math.max(1, width), reference, shown),
    ]);
  }
  const longest = Math.min(LONGEST_NAME, room - LEAST_PLOT);
  const names = rows.map(({ name }) => shortened(name, longest));
  const nameWidth = Math.max(0, ...names.map(terminalColumns));
  return rows.map((row, i) => {
    const plot = plotLine(row, room - nameWidth, reference, shown).padEnd(room - nameWidth);
    return `${toTheLeft(names[i]!, nameWidth)}  ${plot}  ${row.words.padStart(wordsWidth)}`.trimEnd();
  });
}

function plotLine(
  row: ForestRow,
  columns: number,
  reference: number | null,
  { from, to }: { readonly from: number; readonly to: number },
): string {
  const columnOf = (value: number): number => Math.round(((value - from) / (to - from)) * (columns - 1));
  const cells = new Array<string>(columns).fill(' ');
  if (reference !== null && columnOf(reference) >= 0 && columnOf(reference) < columns) cells[columnOf(reference)] = '│';
  drawInterval(cells, row, columnOf);
  return cells.join('').trimEnd();
}

function drawInterval(cells: string[], { low, high, estimate, kind }: ForestRow, columnOf: (value: number) => number) {
  const last = cells.length - 1;
  const [from, to] = [columnOf(low), columnOf(high)];
  const line = kind === 'prediction' ? '·' : '─';
  for (let column = Math.max(0, from); column <= Math.min(last, to); column += 1) cells[column] = line;
  if (from < 0) cells[0] = '◂';
  else if (from <= last) cells[from] = kind === 'prediction' ? '[' : '├';
  if (to > last) cells[last] = '▸';
  else if (to >= 0) cells[to] = kind === 'prediction' ? ']' : '┤';
  const middle = columnOf(estimate);
  if (kind !== 'prediction' && middle >= 0 && middle <= last) cells[middle] = MARKS[kind];
}
