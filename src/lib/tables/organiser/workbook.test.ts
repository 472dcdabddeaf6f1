import { strToU8, zipSync } from 'fflate';
import { expect, it } from 'vitest';
import { readOrganiserFile } from './organiser-file.ts';
import { workbookText } from './workbook.ts';

// A workbook written by hand from the parts that ECMA-376 (Office Open XML) asks for.
const MAIN = 'http://schemas.openxmlformats.org/spreadsheetml/2006/main';
const RELATIONS = 'http://schemas.openxmlformats.org/officeDocument/2006/relationships';
const PACKAGE = 'http://schemas.openxmlformats.org/package/2006';

const text = (cell: string) => `<c t="inlineStr"><is><t>${cell}</t></is></c>`;
/** Style 1 shows a duration, style 2 a date. */
const number = (value: number, style: number) => `<c s="${style}"><v>${value}</v></c>`;

function workbook(sheets: readonly { name: string; rows: readonly (readonly string[])[] }[], date1904: boolean) {
  const places = (cells: readonly string[], row: number) =>
    cells.map((cell, i) => cell.replace('<c', `<c r="${'ABCDEF'[i]}${row}"`)).join('');
  const files: Record<string, Uint8Array> = {
    '[Content_Types].xml': strToU8(
      `<?xml version="1.0"?><Types xmlns="${PACKAGE}/content-types"><Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/><Default Extension="xml" ContentType="application/xml"/></Types>`,
    ),
    '_rels/.rels': strToU8(
      `<?xml version="1.0"?><Relationships xmlns="${PACKAGE}/relationships"><Relationship Id="r1" Type="${RELATIONS}/officeDocument" Target="xl/workbook.xml"/></Relationships>`,
    ),
    'xl/workbook.xml': strToU8(
      `<?xml version="1.0"?><workbook xmlns="${MAIN}" xmlns:r="${RELATIONS}"><workbookPr${date1904 ? ' date1904="1"' : ''}/><sheets>${sheets.map(({ name }, i) => `<sheet name="${name}" sheetId="${i + 1}" r:id="s${i + 1}"/>`).join('')}</sheets></workbook>`,
    ),
    'xl/_rels/workbook.xml.rels': strToU8(
      `<?xml version="1.0"?><Relationships xmlns="${PACKAGE}/relationships">${sheets.map((_, i) => `<Relationship Id="s${i + 1}" Type="${RELATIONS}/worksheet" Target="worksheets/sheet${i + 1}.xml"/>`).join('')}<Relationship Id="st" Type="${RELATIONS}/styles" Target="styles.xml"/></Relationships>`,
    ),
    'xl/styles.xml': strToU8(
      `<?xml version="1.0"?><styleSheet xmlns="${MAIN}"><cellXfs count="3"><xf numFmtId="0"/><xf numFmtId="46"/><xf numFmtId="14"/></cellXfs></styleSheet>`,
    ),
  };
  sheets.forEach(({ rows }, i) => {
    const data = rows.map((cells, row) => `<row r="${row + 1}">${places(cells, row + 1)}</row>`).join('');
    files[`xl/worksheets/sheet${i + 1}.xml`] = strToU8(
      `<?xml version="1.0"?><worksheet xmlns="${MAIN}"><sheetData>${data}</sheetData></worksheet>`,
    );
  });
  return zipSync(files);
}

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
  const read = await workbookText(workbook([{ name: 'Results', rows }], date1904));
  if (!read.ok) throw new Error(read.error.type);
  expect(read.value.text).toContain('17,3:12:45,1985-05-31');
  const table = readOrganiserFile(new TextEncoder().encode(read.value.text), 'results', {
    delimiter: ',',
    known: { length: { least: 42.195, most: 42.195 }, raceDate: '2026-10-04' },
  });
  expect(table.rows).toEqual([{ bib: '17', finish: 11_565, age: 41 }]);
});

it('reads the sheet that is asked for, and says which there are', async () => {
  const bytes = workbook(
    [
      { name: 'Men', rows: [[text('Bib')], [text('1')]] },
      { name: 'Women', rows: [[text('Bib')], [text('2')]] },
    ],
    false,
  );
  const first = await workbookText(bytes);
  expect(first).toMatchObject({ ok: true, value: { sheet: 'Men', sheets: ['Men', 'Women'] } });
  expect(await workbookText(bytes, 'Women')).toMatchObject({ ok: true, value: { sheet: 'Women' } });
  expect(await workbookText(bytes, 'Children')).toMatchObject({ ok: false, error: { type: 'no-such-sheet' } });
});
