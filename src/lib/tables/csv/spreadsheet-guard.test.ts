import fc from 'fast-check';
import { expect, it } from 'vitest';
import { guardCell, unguardCell } from './spreadsheet-guard.ts';

it('puts an apostrophe before what a spreadsheet would run', () => {
  for (const text of ['=1+1', '+1', '-12', '@SUM(A1)', '\tx', '\rx', "'quoted"])
    expect(guardCell(text)).toBe(`'${text}`);
  for (const text of ['', 'A-12', '12', 'heel?', ' =1']) expect(guardCell(text)).toBe(text);
});

it('gives every text back, and nothing that begins like a formula', () => {
  const start = fc.constantFrom('', '=', '+', '-', '@', '\t', '\r', '\n', "'", "''", '＝');
  fc.assert(
    fc.property(start, fc.string({ unit: 'grapheme' }), (first, rest) => {
      const guarded = guardCell(first + rest);
      expect(guarded).not.toMatch(/^[=+\-@\t\r\n]/);
      expect(unguardCell(guarded)).toBe(first + rest);
    }),
  );
});
