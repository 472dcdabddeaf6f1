import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { CsvScanner, LONGEST_ROW_BYTES } from './csv-scanner.ts';

interface ScannedRow {
  row: number;
  cells: string[];
  flaw: string | null;
}

/** All rows of a text that arrives in chunks of `size` bytes. */
function scan(text: string, size = 1_000_000): ScannedRow[] {
  const bytes = new TextEncoder().encode(text);
  const rows: ScannedRow[] = [];
  const scanner = new CsvScanner(() => {
    const cells: string[] = [];
    for (let i = 0; i < scanner.cells; i += 1) {
      cells.push(
        new TextDecoder('utf-8', { ignoreBOM: true }).decode(scanner.bytes.subarray(scanner.from[i], scanner.to[i])),
      );
    }
    rows.push({ row: scanner.row, cells, flaw: scanner.flaw });
  });
  for (let at = 0; at < bytes.length; at += size) scanner.push(bytes.subarray(at, at + size));
  scanner.end();
  return rows;
}
const cellsOf = (text: string, size?: number) => scan(text, size).map(({ cells }) => cells);

describe('CsvScanner, rules of RFC 4180', () => {
  it.each<[string, string, string[][]]>([
    [
      'CRLF',
      'a,b\r\nc,d\r\n',
      [
        ['a', 'b'],
        ['c', 'd'],
      ],
    ],
    [
      'LF, the last row not closed',
      'a,b\nc,d',
      [
        ['a', 'b'],
        ['c', 'd'],
      ],
    ],
    ['CRLF, the last row closed by CR alone', 'a,b\r', [['a', 'b']]],
    [
      'empty cells',
      ',\n,,\n',
      [
        ['', ''],
        ['', '', ''],
      ],
    ],
    ['an empty quoted cell alone is a row', '""\na\n', [[''], ['a']]],
    ['quoted comma, line end and quotation mark', '"a,b","c\r\nd","e""f"""\r\n', [['a,b', 'c\r\nd', 'e"f"']]],
    ['a quoted cell at the end of the file', 'a,"b"', [['a', 'b']]],
    ['a byte-order mark before a quoted cell', '\ufeff"a",b\n', [['a', 'b']]],
    ['letters of any script', 'Straße,Ωmega,\u{1f3c3}\n', [['Straße', 'Ωmega', '\u{1f3c3}']]],
  ])('%s', (_, text, cells) => {
    expect(cellsOf(text)).toEqual(cells);
    for (const size of [1, 2, 3, 7]) expect(cellsOf(text, size)).toEqual(cells);
  });

  it('skips blank lines but counts them', () => {
    expect(scan('a\n\n\r\nb\n').map(({ row }) => row)).toEqual([1, 4]);
  });

  it.each([
    ['a"b,c\nd,e\n', 'quote-inside', 1],
    ['"a"b,c\nd,e\n', 'text-after-quote', 1],
    ['a,b\nc\rd,e\n', 'lone-carriage-return', 2],
    ['a,b\nc,"d\ne,f\n', 'unclosed-quote', 2],
  ])('finds the flaw of %j', (text, flaw, row) => {
    for (const size of [1, 5, 1000]) {
      const rows = scan(text, size);
      expect(rows.filter((r) => r.flaw !== null)).toEqual([expect.objectContaining({ flaw, row })]);
    }
  });

  it('stops at a row that never ends', () => {
    const rows = scan(`a,b\n"${'x'.repeat(LONGEST_ROW_BYTES * 2)}`, 65_536);
    expect(rows.map(({ row, flaw }) => [row, flaw])).toEqual([
      [1, null],
      [2, 'too-long'],
    ]);
  });

  it('reads back what was written, however it is cut into chunks', () => {
    const cell = fc.string({ unit: fc.constantFrom('a', '"', ',', '\n', '\r', ' ', 'é', '\u{1f3c3}') });
    const table = fc.array(fc.array(cell, { minLength: 2, maxLength: 5 }), { minLength: 1, maxLength: 6 });
    fc.assert(
      fc.property(table, fc.integer({ min: 1, max: 40 }), fc.constantFrom('\n', '\r\n'), (rows, size, end) => {
        const written = rows
          .map((row) => row.map((text) => `"${text.replaceAll('"', '""')}"`).join(',') + end)
          .join('');
        expect(cellsOf(written, size)).toEqual(rows);
      }),
    );
  });
});
