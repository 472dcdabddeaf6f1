import { expect, it } from 'vitest';
import { makeWorkbook, number, text } from '../../../../tests/helpers/make-workbook.ts';
import { readOrganiserFile } from './organiser-file.ts';
import { workbookText } from './workbook.ts';

/** 3:12:45 as a part of a day, and 31 May 1985 as days of each calendar. */
const FINISH = (3 * 3600 + 12 * 60 + 45) / 86_400;
const BORN_1900 = 31_198;
const BORN_1904 = BORN_1900 - 1462;

it.each([
  ['1900', false, BORN_1900],
  ['1904', true, BORN_1904],
])('reads durations and dates of a workbook that counts from %s', async (_, date1904, born) => {
  const rows = [
    [text('Bib'), text('Time'), text('Date of birth')],
    [text('17'), number(FINISH, 1), number(born, 2)],
  ];
  const read = await workbookText(makeWorkbook([{ name: 'Results', rows }], date1904));
  if (!read.ok) throw new Error(read.error.type);
  expect(read.value.text).toContain('17,3:12:45,1985-05-31');
  const table = readOrganiserFile(new TextEncoder().encode(read.value.text), 'results', {
    delimiter: ',',
    known: { length: { least: 42.195, most: 42.195 }, raceDate: '2026-10-04' },
  });
  expect(table.rows).toEqual([{ bib: '17', finish: 11_565, age: 41 }]);
});

it('reads the sheet that is asked for, and says which there are', async () => {
  const bytes = makeWorkbook([
    { name: 'Men', rows: [[text('Bib')], [text('1')]] },
    { name: 'Women', rows: [[text('Bib')], [text('2')]] },
  ]);
  const first = await workbookText(bytes);
  expect(first).toMatchObject({ ok: true, value: { sheet: 'Men', sheets: ['Men', 'Women'] } });
  expect(await workbookText(bytes, 'Women')).toMatchObject({ ok: true, value: { sheet: 'Women' } });
  expect(await workbookText(bytes, 'Children')).toMatchObject({ ok: false, error: { type: 'no-such-sheet' } });
});
