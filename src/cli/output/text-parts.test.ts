import fc from 'fast-check';
import { expect, it } from 'vitest';
import { fittedTable, laidOut, sentence, table } from './text-parts.ts';

const HEADINGS = ['class', 'runners', 'standardised rearfoot share', '95 % interval'];
const ROWS = [
  ['rearfoot', '1,204', '71.2 %', '68.5 to 73.7'],
  ['not classified', '12', '–', '–'],
];

it('keeps a table in one piece where there is room', () => {
  expect(fittedTable(HEADINGS, ROWS, 80)).toEqual([
    'class           runners  standardised rearfoot share  95 % interval',
    'rearfoot          1,204                       71.2 %   68.5 to 73.7',
    'not classified       12                            –              –',
  ]);
});

it('sets headings over several lines, then columns below one another beside the first', () => {
  expect(fittedTable(HEADINGS, ROWS, 55)).toEqual([
    '                         standardised',
    '                             rearfoot          95 %',
    'class           runners         share      interval',
    'rearfoot          1,204        71.2 %  68.5 to 73.7',
    'not classified       12             –             –',
  ]);
  expect(fittedTable(HEADINGS, ROWS, 30)).toEqual([
    'class           runners',
    'rearfoot          1,204',
    'not classified       12',
    '',
    '                standardised',
    '                    rearfoot',
    'class                  share',
    'rearfoot              71.2 %',
    'not classified             –',
    '',
    '                        95 %',
    'class               interval',
    'rearfoot        68.5 to 73.7',
    'not classified             –',
  ]);
});

it('loses no cell and stays within the width, as far as two columns find room in it', () => {
  const cell = fc.string({ unit: fc.constantFrom('a', '7', '%'), minLength: 1, maxLength: 12 });
  fc.assert(
    fc.property(
      fc.array(fc.array(cell, { minLength: 5, maxLength: 5 }), { minLength: 2, maxLength: 6 }),
      fc.integer({ min: 28, max: 90 }),
      ([headings = [], ...rows], width) => {
        const lines = fittedTable(headings, rows, width);
        expect(Math.max(...lines.map((line) => line.length))).toBeLessThanOrEqual(width);
        for (const text of [...headings, ...rows.flat()]) expect(lines.join('\n')).toContain(text);
      },
    ),
    { numRuns: 60 },
  );
});

it('breaks sentences at the width, never beyond what the eye can follow', () => {
  const text = Array.from({ length: 40 }, () => 'runner').join(' ');
  expect(Math.max(...laidOut([sentence(text, '- ', '  ')], 40).map((line) => line.length))).toBeLessThanOrEqual(40);
  expect(Math.max(...laidOut([sentence(text)], 300).map((line) => line.length))).toBeLessThanOrEqual(96);
  expect(laidOut(['', ...table(['a'], [['1']])], 40)).toEqual(['', '  a', '  1']);
});
