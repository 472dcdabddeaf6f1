import { expect, it } from 'vitest';
import { alignedTable } from './aligned-table.ts';
import { shortened, terminalColumns } from './terminal-columns.ts';
import { wrapped } from './text-lines.ts';

// Widths by Unicode Standard Annex #11, East Asian Width: W and F take two columns, Na, N and H one; marks and format controls none.
it.each([
  ['Mill', 4],
  ['Ötzi', 4],
  ['O\u0308tzi', 4],
  ['Мост у реки', 11],
  ['Żółta Łąka', 10],
  ['川の橋', 6],
  ['ゼッケン', 8],
  ['ｾﾞｯｹﾝ', 5],
  ['배번', 4],
  ['（ａ）', 6],
  ['πόδι', 4],
  ['−3.7 … “a”', 10],
  ['a\u200bb', 2],
  ['🏃', 2],
])('%s takes %i columns', (text, columns) => expect(terminalColumns(text)).toBe(columns));

it('keeps columns below one another, and lines within the width, whatever the script', () => {
  const table = alignedTable(
    ['at', 'runners'],
    [
      ['川の橋の給水所', '60'],
      ['Мост', '7'],
    ],
  );
  expect(table.map(terminalColumns)).toEqual([23, 23, 23]);
  const lines = wrapped('川の橋の給水所 川の橋の給水所 川の橋の給水所', '', '', 30);
  expect(lines.map(terminalColumns)).toEqual([29, 14]);
});

it('shortens to whole letters', () => {
  expect([shortened('川の橋', 6), shortened('川の橋', 5), shortened('川の橋', 4), shortened('Mill', 3)]).toEqual([
    '川の橋',
    '川の…',
    '川…',
    'Mi…',
  ]);
});
