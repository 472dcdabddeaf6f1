import { describe, expect, it } from 'vitest';
import { forestPlot, type ForestRow } from './forest-plot.ts';

const row = (name: string, estimate: number, kind: ForestRow['kind'] = 'race'): ForestRow => ({
  ...{ name, estimate, low: estimate - 2, high: estimate + 2, kind },
  words: `${estimate.toFixed(1)}  (${(estimate - 2).toFixed(1)} to ${(estimate + 2).toFixed(1)})`,
});
const rows = [row('Alder Ten', 1), row('The long way round the old harbour', 3), row('All together', 2, 'mean')];
const shown = { from: -5, to: 5 };

describe('a forest plot in characters', () => {
  it.each([30, 40, 52, 60, 80, 100, 200])('keeps to %i columns', (width) => {
    const lines = forestPlot(rows, width, 0, shown);
    for (const line of lines) expect(line.length).toBeLessThanOrEqual(width);
    const text = lines.join('\n');
    for (const { words } of rows) expect(text).toContain(words);
    expect(text).toContain('Alder Ten');
    expect(text.match(/[■◆]/g)).toEqual(['■', '■', '◆']);
  });

  // By hand: 21 columns from −5 to 5 put 0 in column 10, 1 in column 12, 3 in column 16.
  it('puts each value in its column, an interval beyond the plot ending in an arrow', () => {
    const [, first, , second] = forestPlot([row('A', 1), row('B', 4)], 21, 0, shown);
    expect(first).toBe('        ├───■───┤');
    expect(second!.at(-1)).toBe('▸');
    expect([...second!].findIndex((mark) => mark === '■')).toBe(18);
  });
});
