import { readFileSync } from 'node:fs';
import { expect, it } from 'vitest';
import { readMarks } from './marks-reader.ts';
import { tableFaultWords } from '../csv/table-fault.ts';

const TEXT = readFileSync(new URL('../../../../tests/reference/cases-gait/one/marks.csv', import.meta.url), 'utf8');
const HEADINGS = TEXT.split(/\r?\n/)[0]!.replace('\ufeff', '').split(',');
const ROWS = TEXT.split(/\r?\n/)
  .slice(1, 9)
  .map((line) => line.split(','));

/** The first rows of the table with some cells of one of them changed. */
function faultsWith(row: number, cells: Record<string, string>): string[] {
  const rows = ROWS.map((line, i) => line.map((cell, at) => (i === row - 2 ? (cells[HEADINGS[at]!] ?? cell) : cell)));
  const read = readMarks(new TextEncoder().encode([HEADINGS, ...rows].map((line) => line.join(',')).join('\n')));
  return read.ok ? [] : read.error.faults.map(tableFaultWords);
}

it('reads the table as it is', () => {
  expect(faultsWith(2, {})).toEqual([]);
});

it.each([
  [2, { foot: 'toe' }, 'row 2, column foot: "toe" is not one of left, right'],
  [2, { event: '' }, 'row 2, column event: is not one of contact, toeoff, flat'],
  [3, { frame: '12.5' }, 'row 3, column frame: "12.5" is not a whole number from 0 to 999999'],
  [3, { at_s: '0.1234567' }, 'row 3, column at_s: "0.1234567" is not seconds'],
  [3, { gap_s: '0' }, 'row 3, column gap_s: "0" is not seconds above 0'],
  [2, { heel_x: '2000' }, 'row 2, column heel_x: "2000" is not a place in the picture: 0 to 960'],
  [2, { heel_x: '' }, 'row 2, column heel_x: is empty: expected both of heel'],
  [2, { doubtful: 'yes' }, 'row 2, column doubtful: "yes" is neither true nor empty'],
  [2, { made_at: '2033-01-11' }, 'row 2, column made_at: "2033-01-11" is not a date and time'],
  [4, { race: 'Other' }, 'row 4, column race: "Other" is not the "Sandbank Six"'],
  [4, { fps_recorded: '120' }, 'row 4, column fps_recorded: "120" is not the "240" of this clip at this checkpoint'],
  [4, { bib: '9' }, 'row 4, column bib: "9" is not the "246" of this passage in row 2'],
  [
    3,
    { knee_x: '1', knee_y: '1', ankle_x: '1', ankle_y: '2' },
    'row 3, column knee_x: "1" is there, but a flat has no knee',
  ],
])('names the place of what is wrong: row %i, %j', (row, cells, fault) => {
  expect(faultsWith(row, cells as Record<string, string>).join('\n')).toContain(fault);
});

it('says that a column is missing, and takes a table without rows', () => {
  const read = readMarks(new TextEncoder().encode(HEADINGS.filter((heading) => heading !== 'frame').join(',')));
  expect(read.ok ? '' : tableFaultWords(read.error.faults[0]!)).toContain('column frame: is missing');
  expect(readMarks(new TextEncoder().encode(HEADINGS.join(','))).ok).toBe(true);
});

// The export writes no length of a clip; a table from elsewhere may have it.
it('names the row of a mark beyond the clip, where a column says how many frames the clip has', () => {
  const withFrames = (frames: (row: number) => string) =>
    readMarks(
      new TextEncoder().encode(
        [[...HEADINGS, 'frames'], ...ROWS.map((cells, i) => [...cells, frames(i + 2)])]
          .map((line) => line.join(','))
          .join('\n'),
      ),
    );
  const frameOf = (row: number) => Number(ROWS[row - 2]![HEADINGS.indexOf('frame')]);
  expect(withFrames(() => '100000').ok).toBe(true);
  const last = Math.max(...ROWS.map((_, i) => frameOf(i + 2)));
  expect(withFrames(() => String(last + 1)).ok).toBe(true);
  // Frames count from 0: the frame of that number is the first one beyond.
  const beyond = withFrames((row) => (row === 5 ? String(frameOf(5)) : '100000'));
  expect(beyond.ok ? [] : beyond.error.faults.map(tableFaultWords)).toEqual([
    `row 5, column frame: "${frameOf(5)}" is beyond the clip of ${frameOf(5)} frames`,
  ]);
  const unread = withFrames((row) => (row === 5 ? 'many' : '100000'));
  expect(unread.ok ? [] : unread.error.faults.map(tableFaultWords)).toContain(
    'row 5, column frames: "many" is not a whole number',
  );
});
