import { strToU8, zipSync } from 'fflate';

// A workbook written by hand from the parts that ECMA-376 (Office Open XML) asks for.
const MAIN = 'http://schemas.openxmlformats.org/spreadsheetml/2006/main';
const RELATIONS = 'http://schemas.openxmlformats.org/officeDocument/2006/relationships';
const PACKAGE = 'http://schemas.openxmlformats.org/package/2006';

/** A cell of text. */
export const text = (cell: string) => `<c t="inlineStr"><is><t>${cell}</t></is></c>`;
/** A number; style 1 shows a duration, style 2 a date. */
export const number = (value: number, style: number) => `<c s="${style}"><v>${value}</v></c>`;

/** An `.xlsx` workbook; `date1904`: it counts its days from 1904. */
export function makeWorkbook(
  sheets: readonly { name: string; rows: readonly (readonly string[])[] }[],
  date1904 = false,
) {
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
