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
const MARKS = { race: '■', mean: '◆', prediction: '·' } as const;
const LONGEST_NAME = 24;

/**
 * A forest plot in characters, one line a row: name, plot, figures. An interval that goes on beyond the plot ends in an
 * arrow.
 *
 * @param width columns of the terminal; the plot takes what names and figures leave, at least 20
 * @param reference a value drawn as a line down the plot, such as no change; `null` for none
 * @param shown from and to of the axis
 */
export function forestPlot(
  rows: readonly ForestRow[],
  width: number,
  reference: number | null,
  shown: { readonly from: number; readonly to: number },
): string[] {
  const names = rows.map(({ name }) => (name.length > LONGEST_NAME ? `${name.slice(0, LONGEST_NAME - 1)}…` : name));
  const nameWidth = Math.max(0, ...names.map((name) => name.length));
  const wordsWidth = Math.max(0, ...rows.map(({ words }) => words.length));
  const plot = Math.max(LEAST_PLOT, width - nameWidth - wordsWidth - 4);
  const columnOf = (value: number): number => Math.round(((value - shown.from) / (shown.to - shown.from)) * (plot - 1));
  return rows.map((row, i) => {
    const cells = new Array<string>(plot).fill(' ');
    if (reference !== null && columnOf(reference) >= 0 && columnOf(reference) < plot) cells[columnOf(reference)] = '│';
    drawInterval(cells, row, columnOf);
    return `${names[i]!.padEnd(nameWidth)}  ${cells.join('')}  ${row.words.padStart(wordsWidth)}`.trimEnd();
  });
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
