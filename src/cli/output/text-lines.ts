const WIDTH = 96;

/** A sentence over several lines; those after the first are set in. */
export function wrapped(sentence: string, first = '', rest = first, width = WIDTH): string[] {
  const lines: string[] = [];
  let line = first;
  let empty = true;
  for (const word of sentence.split(' ')) {
    if (!empty && line.length + 1 + word.length > width) {
      lines.push(line);
      line = rest;
      empty = true;
    }
    line += empty ? word : ` ${word}`;
    empty = false;
  }
  return [...lines, line];
}

/** A title with a line below it. */
export const heading = (title: string): string[] => ['', title, '='.repeat(title.length), ''];
export const setIn = (lines: readonly string[]): string[] => lines.map((line) => (line ? `  ${line}` : ''));
