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

// Unicode Standard Annex #9: what stands between a first strong isolate and its end does not order what is around it.
it('keeps a name from right to left in its own cell, and every row as wide as it was', () => {
  const rows = [
    ['שער הנחל', '60', '7'],
    ['جسر النهر', '8', '12'],
    ['Weir', '9', '3'],
  ];
  const [, hebrew, arabic, latin] = alignedTable(['at', 'runners', 'late'], rows);
  expect(hebrew).toMatch(/^\u2068שער הנחל\u2069 +60 +7$/u);
  expect(arabic).toMatch(/^\u2068جسر النهر\u2069 +8 +12$/u);
  expect(latin).not.toMatch(/[\u2066-\u2069]/u);
  expect(new Set([hebrew, arabic, latin].map((line) => terminalColumns(line!))).size).toBe(1);
});
