import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { BibList } from '../race/bib-list.ts';
import { FOOT_VALUES } from '../records/foot.ts';
import { paperDifferences, paperLine, readPaperLines, timesBetween } from './paper-lines.ts';

const LIST = new BibList(['1734', '88', '512']);

describe('a tally sheet as it is keyed in', () => {
  test('a line for each runner: bib, left, right', () => {
    const { runners, remarks } = readPaperLines('1734 RR\n\n88 m f\n no F-\n512 walk\n', LIST);
    expect(remarks).toEqual([]);
    const run = { gait: 'run' } as const;
    expect(runners).toEqual([
      { line: 1, bib: '1734', ...run, left: 'rearfoot', right: 'rearfoot' },
      { line: 3, bib: '88', ...run, left: 'midfoot', right: 'forefoot' },
      { line: 4, bib: null, ...run, left: 'forefoot', right: 'unseen' },
      { line: 5, bib: '512', gait: 'walk', left: 'unseen', right: 'unseen' },
    ]);
  });

  test.each(['1734', '1734 R', '1734 RRR', '1734 RX', 'RR', '12345678901234567 RR'])(
    '%s is said, not guessed',
    (row) => {
      const { runners, remarks } = readPaperLines(`88 RR\n${row}`, LIST);
      expect(runners).toHaveLength(1);
      expect(remarks).toMatchObject([{ line: 2, fault: true }]);
    },
  );

  test('who is not on the list or stands there twice is kept and said', () => {
    const { runners, remarks } = readPaperLines('88 RR\n89 RR\n88 MM', LIST);
    expect(runners).toHaveLength(3);
    expect(remarks.map(({ text }) => text)).toEqual(['89 is not on the start list', '88 stands in line 1 too']);
    expect(readPaperLines('89 RR', new BibList([])).remarks).toEqual([]);
  });
});

test('what the grid writes is read back as it was', () => {
  for (const left of FOOT_VALUES) {
    for (const right of FOOT_VALUES) {
      const [read] = readPaperLines(paperLine('88', { left, right }), LIST).runners;
      expect(read).toMatchObject({ bib: '88', gait: 'run', left, right });
    }
  }
  expect(readPaperLines(paperLine(null, 'walk'), LIST).runners).toMatchObject([{ bib: null, gait: 'walk' }]);
});

test('estimated times lie between the two of the sheet, in order', () => {
  expect(timesBetween(0, 1000, 4)).toEqual([125, 375, 625, 875]);
  fc.assert(
    fc.property(fc.integer({ min: 0, max: 1e9 }), fc.integer({ min: 0, max: 1e7 }), fc.nat(60), (from, span, count) => {
      const times = timesBetween(from, from + span, count);
      expect(times).toHaveLength(count);
      times.forEach((ms, i) => expect(ms).toBeGreaterThanOrEqual(times[i - 1] ?? from));
      expect(Math.max(from, ...times)).toBeLessThanOrEqual(from + span);
    }),
  );
});

test('two keyings of one sheet: each place where they differ', () => {
  const keyed = (text: string) => readPaperLines(text, LIST).runners;
  expect(paperDifferences(keyed('88 RR\n512 MM'), keyed('88 RR\n512 MM'))).toEqual([]);
  const found = paperDifferences(keyed('88 RR\n512 MM\n7 FF'), keyed('88 RM\n512 MM'));
  expect(found.map(({ place, first, second }) => [place, first?.right, second?.right])).toEqual([
    [1, 'rearfoot', 'midfoot'],
    [3, 'forefoot', undefined],
  ]);
});
