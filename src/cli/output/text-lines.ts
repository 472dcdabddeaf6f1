import { terminalColumns } from './terminal-columns.ts';

const WIDTH = 96;

/** A sentence over several lines; those after the first are set in. */
export function wrapped(sentence: string, first = '', rest = first, width = WIDTH): string[] {
  const lines: string[] = [];
  let line = first;
  let taken = terminalColumns(first);
  let empty = true;
  for (const word of sentence.split(' ')) {
    const columns = terminalColumns(word);
    if (!empty && taken + 1 + columns > width) {
      lines.push(line);
      line = rest;
      taken = terminalColumns(rest);
      empty = true;
    }
    line += empty ? word : ` ${word}`;
    taken += empty ? columns : columns + 1;
    empty = false;
  }
  return [...lines, line];
}

/** A title with a line below it. */
export const heading = (title: string): string[] => ['', title, '='.repeat(terminalColumns(title)), ''];
export const setIn = (lines: readonly string[]): string[] => lines.map((line) => (line ? `  ${line}` : ''));
