import { alignedTable } from './aligned-table.ts';
import { terminalColumns } from './terminal-columns.ts';
import { wrapped } from './text-lines.ts';

/** A table that is laid out once the width of the terminal is known. */
export interface TextTable {
  readonly kind: 'table';
  readonly headings: readonly string[];
  readonly rows: readonly (readonly string[])[];
  /** Blanks before each line. */
  readonly indent: number;
}

/** A sentence that goes over as many lines as it needs. */
export interface TextSentence {
  readonly kind: 'sentence';
  readonly text: string;
  /** What stands before the first line, and before the others. */
  readonly first: string;
  readonly rest: string;
}

/** A line as it stands, or what is yet to be laid out. */
export type TextPart = string | TextTable | TextSentence;

export const table = (headings: readonly string[], rows: readonly (readonly string[])[]): TextPart[] => [
  { kind: 'table', headings, rows, indent: 2 },
];
export const sentence = (text: string, first = '', rest = first): TextPart => ({ kind: 'sentence', text, first, rest });
/** The sentence to remember first, then the others with their further lines set in. */
export const sentences = ([lead, ...others]: readonly string[]): TextPart[] => [
  ...(lead === undefined ? [] : [sentence(lead)]),
  ...(others.length > 0 ? [''] : []),
  ...others.map((text) => sentence(text, '', '  ')),
];

/** Sentences are hard to follow in longer lines. */
const LONGEST_SENTENCE_LINE = 96;

/** The lines of a text on a terminal of `width` columns. */
export function laidOut(parts: readonly TextPart[], width: number): string[] {
  return parts.flatMap((part) => {
    if (typeof part === 'string') return wrapped(part, '', '  ', width);
    if (part.kind === 'sentence')
      return wrapped(part.text, part.first, part.rest, Math.min(width, LONGEST_SENTENCE_LINE));
    const blanks = ' '.repeat(part.indent);
    return fittedTable(part.headings, part.rows, width - part.indent).map((line) => (line ? blanks + line : ''));
  });
}

/**
 * A table in lines of at most `width` columns where that can be: headings go over several lines, then columns that find
 * no room follow below, each time beside the first column.
 */
export function fittedTable(
  headings: readonly string[],
  rows: readonly (readonly string[])[],
  width: number,
): string[] {
  const whole = alignedTable(headings, rows);
  if (widest(whole) <= width) return whole;
  const columns = headings.map((heading, i) => {
    const cells = rows.map((row) => row[i] ?? '');
    return { heading: wrapped(heading, '', '', widest(cells)), cells };
  });
  const [first, ...others] = columns;
  if (!first) return whole;
  const lines: string[] = [];
  let taken: Column[] = [first];
  for (const column of others) {
    const wider = linesOf([...taken, column]);
    if (taken.length > 1 && widest(wider) > width) {
      lines.push(...linesOf(taken), '');
      taken = [first];
    }
    taken.push(column);
  }
  return [...lines, ...linesOf(taken)];
}

interface Column {
  /** Lines. */
  readonly heading: readonly string[];
  readonly cells: readonly string[];
}

function linesOf(columns: readonly Column[]): string[] {
  const height = Math.max(...columns.map(({ heading }) => heading.length));
  // Headings of fewer lines stand at the foot.
  const heads = Array.from({ length: height }, (_, line) =>
    columns.map(({ heading }) => heading[line - height + heading.length] ?? ''),
  );
  const cells = (columns[0]?.cells ?? []).map((_, row) => columns.map((column) => column.cells[row] ?? ''));
  return alignedTable(heads[0] ?? [], [...heads.slice(1), ...cells]);
}

const widest = (lines: readonly string[]): number =>
  lines.reduce((most, line) => Math.max(most, terminalColumns(line)), 0);
