import { describe, expect, it } from 'vitest';
import { readOrganiserFile, readOrganiserFileInSteps, type OrganiserOptions } from './organiser-file.ts';
import { tableFaultWords } from '../csv/table-fault.ts';

const utf8 = (text: string) => new TextEncoder().encode(text);
const latin = (text: string) => Uint8Array.from(text, (c) => c.charCodeAt(0));
const utf16 = (text: string, bigEndian: boolean) => {
  const bytes = new Uint8Array(2 + 2 * text.length);
  const view = new DataView(bytes.buffer);
  view.setUint16(0, 0xfeff, !bigEndian);
  for (let i = 0; i < text.length; i += 1) view.setUint16(2 + 2 * i, text.charCodeAt(i), !bigEndian);
  return bytes;
};
const results = (text: string, options?: OrganiserOptions) => readOrganiserFile(utf8(text), 'results', options);
const startList = (text: string, options?: OrganiserOptions) => readOrganiserFile(utf8(text), 'startlist', options);
const faultsOf = (table: { faults: Parameters<typeof tableFaultWords>[0][] }) => table.faults.map(tableFaultWords);

describe('organisers’ files: encodings', () => {
  const text = 'Bib,Time,Sex\r\n007,1:02:03,Frau Grün\r\n12,59:59,M\r\n';
  const expected = [
    { bib: '007', finish: 3723, sex: 'Frau Grün' },
    { bib: '12', finish: 3599, sex: 'M' },
  ];
  it.each([
    ['UTF-8', utf8(text), 0],
    ['UTF-8 with its mark', utf8(`\ufeff${text}`), 0],
    ['UTF-16 little-endian', utf16(text, false), 1],
    ['UTF-16 big-endian', utf16(text, true), 1],
    ['Windows-1252', latin(text), 1],
  ])('%s', (_, bytes, said) => {
    const table = readOrganiserFile(bytes, 'results');
    expect(table.faults).toEqual([]);
    expect(table.rows).toEqual(expected);
    expect(table.said).toHaveLength(said);
  });

  it('says what a workbook, a PDF or junk is instead of reading it', () => {
    for (const bytes of [
      Uint8Array.of(0x50, 0x4b, 3, 4, 20, 0),
      utf8('%PDF-1.7 …'),
      Uint8Array.of(1, 2, 3, 0, 255, 200, 0, 7),
    ]) {
      const table = readOrganiserFile(bytes, 'results');
      expect(table.faultCount).toBe(1);
      expect(faultsOf(table)[0]).toMatch(/^the file is /);
      expect(table.rows).toEqual([]);
    }
  });

  it('keeps UTF-8 with a damaged byte as UTF-8 and says so', () => {
    const bytes = utf8('Bib,Name\n1,Ägir Öst\n2,Zoë Würm\n3,x\n');
    bytes[bytes.length - 2] = 0xe9;
    const table = readOrganiserFile(bytes, 'startlist');
    expect(table.rows.map((row) => row.name)).toEqual(['Ägir Öst', 'Zoë Würm', '\ufffd']);
    expect(table.said[0]).toMatch(/^1 damaged/);
  });
});

describe('organisers’ files: layout', () => {
  it.each([
    ['comma', 'Bib,Finish\n1,"59:00,5"\n'],
    ['semicolon', 'Bib;Finish\n1;59:00,5\n'],
    ['tab', 'Bib\tFinish\n1\t59:00,5\n'],
    ['stated', 'sep=;\nBib;Finish\n1;59:00,5\n'],
    ['old line ends', 'Bib;Finish\r1;59:00,5\r'],
  ])('delimiter: %s', (_, text) => {
    const table = results(text);
    expect(table.rows).toEqual([{ bib: '1', finish: 3540.5 }]);
    expect(table.said.join()).toMatch(/1 decimal comma was read as a decimal point \(row \d\)/);
  });

  it('skips title lines above the headings and says so', () => {
    const table = results('Kestrel Dyke Ten, results\n\nPrinted 4 Oct\nPlace;Bib;Name;Time\n1;4;A;30:00\n');
    expect(table.rows).toEqual([{ bib: '4', finish: 1800 }]);
    expect(table.layout?.headingRow).toBe(4);
    expect(table.said.filter((s) => s.includes('above the headings'))).toHaveLength(2);
  });

  it.each([
    ['German', 'Platz;Startnummer;Name;Vorname;Geschlecht;Alter;Verein\n1;7;Tann;Ida;W;34;LG Moor\n'],
    ['French', 'Dossard;Nom;Prénom;Sexe;Âge;Club\n7;Tann;Ida;W;34;LG Moor\n'],
    ['Spanish', 'Dorsal;Nombre;Apellidos;Sexo;Edad;Equipo\n7;Ida;Tann;W;34;LG Moor\n'],
    ['Italian', 'Pettorale;Cognome;Nome;Sesso;Età;Società\n7;Tann;Ida;W;34;LG Moor\n'],
    ['Dutch', 'Startnummer;Voornaam;Achternaam;Geslacht;Leeftijd;Vereniging\n7;Ida;Tann;W;34;LG Moor\n'],
    ['English', 'Bib No.,Name,GENDER,age,Squad\n7,Ida Tann,W,34,LG Moor\n'],
  ])('headings in %s', (_, text) => {
    expect(startList(text).rows).toEqual([{ bib: '7', name: 'Ida Tann', sex: 'W', age: 34, team: 'LG Moor' }]);
  });

  // The words for bib, names, sex, birth and club in each language: general knowledge, no source.
  it.each([
    ['German', 'Start-Nr.;Nachname;Vorname;Geschl.;Jahrgang;Verein/Ort', 'W'],
    ['German, by birthday', 'StNr;Name;Vorname;M/W;Geb.-Datum;Mannschaft', 'W'],
    ['French', 'N° de dossard;Nom;Prénom;H/F;Année de naissance;Association', 'F'],
    ['French, by birthday', 'Dossard;Nom;Prénom;Civilité;Né(e) le;Club', 'Mme'],
    ['Spanish', 'Nº dorsal;Apellidos;Nombre;Sexo;Año de nacimiento;Club deportivo', 'M'],
    ['Italian', 'N. pettorale;Cognome;Nome;Sesso;Anno nascita;Società sportiva', 'F'],
    ['Dutch', 'Startnummer;Achternaam;Voornaam;M/V;Geboortejaar;Loopgroep', 'V'],
    ['Portuguese', 'Nº de peito;Apelido;Nome próprio;Género;Ano de nascimento;Equipa', 'F'],
    ['Danish', 'Løbsnummer;Efternavn;Fornavn;Køn;Fødselsår;Løbeklub', 'K'],
    ['Norwegian', 'Startnr.;Etternavn;Fornavn;Kjønn;Fødselsår;Idrettslag', 'K'],
    ['Swedish', 'Nummerlapp;Efternamn;Förnamn;Kön;Födelseår;Förening', 'K'],
    ['Finnish', 'Kilpailunumero;Sukunimi;Etunimi;Sukupuoli;Syntymävuosi;Seura', 'N'],
  ])('a list with the year of birth in %s', (_, headings, sex) => {
    const born = /Datum|le;/.test(headings) ? '04.10.1992' : '1992';
    const table = startList(`${headings}\n7;Tann;Ida;${sex};${born};LG Moor\n`, { known: { raceDate: '2026-10-04' } });
    expect(table.faults).toEqual([]);
    expect(table.rows).toEqual([{ bib: '7', name: 'Ida Tann', sex, age: 34, team: 'LG Moor' }]);
  });

  it.each([
    ['Nachname, Vorname', 'German'],
    ['Nom et prénom', 'French'],
    ['Apellidos y nombre', 'Spanish'],
    ['Cognome e nome', 'Italian'],
    ['Voor- en achternaam', 'Dutch'],
    ['Nome completo', 'Portuguese'],
    ['Deltager', 'Danish'],
    ['Fullt navn', 'Norwegian'],
    ['För- och efternamn', 'Swedish'],
    ['Koko nimi', 'Finnish'],
  ])('whole names under “%s” (%s)', (heading) => {
    expect(startList(`Dorsal;${heading}\n7;Ida Tann\n`).rows).toEqual([{ bib: '7', name: 'Ida Tann' }]);
  });

  it('takes the first of the usual headings that is there, whatever their order in the file', () => {
    expect(results('Result,Time,Chip time,No,Bib\n5,4:00,3:00,9,1\n').rows).toEqual([{ bib: '1', finish: 180 }]);
  });

  it('takes columns chosen by heading or by index, and frees what they displace', () => {
    const text = 'Bib,Time,Chip Time (h)\n1,5:00,4:00\n';
    expect(results(text, { columns: { finish: 'chip time h' } }).rows[0]?.finish).toBe(240);
    expect(results(text, { columns: { finish: 2 } }).rows[0]?.finish).toBe(240);
    expect(startList('Bib,Name\n1,Ida\n', { columns: { team: 1 } }).rows).toEqual([{ bib: '1', team: 'Ida' }]);
    expect(faultsOf(results(text, { columns: { finish: 'Splits' } }))[0]).toBe(
      'column finish: "Splits" is not a heading of the file; its headings are "Bib", "Time", "Chip Time (h)"',
    );
  });

  it('names missing columns with the headings that are there', () => {
    const table = results('Place,Name\n1,Ida\n');
    expect(table.faultCount).toBe(2);
    expect(faultsOf(table)[0]).toBe(
      'row 1, column bib: not found: expected a heading such as "Bib", "Bib No", "Bib number"; the headings are "Place", "Name"',
    );
    expect(table.layout?.sample).toEqual([['1', 'Ida']]);
  });

  it('reads a bare column of bibs, and a file without headings when columns are given', () => {
    expect(startList('101\n102\n').rows).toEqual([{ bib: '101' }, { bib: '102' }]);
    expect(results('7,5:00\n', { headingRow: 0, columns: { bib: 0, finish: 1 } }).rows).toEqual([
      { bib: '7', finish: 300 },
    ]);
  });

  it('keeps quotes, delimiters and line ends inside quoted cells', () => {
    const table = startList('Bib,Name,Team\n1,"Tann, ""Ida""","LG\nMoor"\n2,Bo,X\n');
    expect(table.rows).toEqual([
      { bib: '1', name: 'Tann, "Ida"', team: 'LG Moor' },
      { bib: '2', name: 'Bo', team: 'X' },
    ]);
  });

  it('lets empty columns at the end be, and faults cells beyond the headings', () => {
    expect(results('Bib,Time,,\n1,5:00,,\n2,6:00\n').rows).toHaveLength(2);
    expect(faultsOf(startList('Bib,Name\n1,Tann, Ida\n'))[0]).toMatch(/^row 2: "Ida" stands beyond the last of the 2/);
  });

  it('takes bibs and codes that begin with the letters of a sum for what they are', () => {
    const table = results(
      'bib,finish\nAVGPRT,1:02:03\nSUM12,1:03:00\nCOUNT9,1:04:00\n12,1:05:00\nAvg. 3 runners,1:03:42\nSum: 4,\n',
    );
    expect(table.rows.map(({ bib }) => bib)).toEqual(['AVGPRT', 'SUM12', 'COUNT9', '12']);
    expect(table.faults).toEqual([]);
  });

  it('leaves out totals, closing lines and repeated headings, and says so', () => {
    const table = results('Place,Bib,Time\n1,5,5:00\nPlace,Bib,Time\n2,6,5:10\nTotal,2,\nTimed by the club,,\n');
    expect(table.rows.map((row) => row.bib)).toEqual(['5', '6']);
    expect(table.faults).toEqual([]);
    expect(table.said.filter((s) => s.includes('left out'))).toHaveLength(3);
  });

  it('faults a missing bib between runners', () => {
    expect(faultsOf(results('Bib,Time\n1,5:00\n,5:10\n3,5:20\n'))).toEqual([
      'row 3, column Bib: empty: expected a bib',
    ]);
  });

  it('faults an empty file, and says when no runner stands below the headings', () => {
    expect(faultsOf(results(' \n'))[0]).toMatch(/empty/);
    const none = results('Bib,Time\n');
    expect([none.rows, none.faultCount, none.said]).toEqual([[], 0, ['There is no runner below the headings.']]);
  });

  it('faults a quote that is never closed', () => {
    expect(faultsOf(startList('Bib,Name\n1,"Ida\n2,Bo\n')).join()).toMatch(/never closed/);
  });
});

describe('organisers’ files: cells', () => {
  it('reads every form of a finish', () => {
    const table = results(
      'Bib;Time\n1;1:02:03\n2;62:03\n3;3723\n4;3723,5\n5;1:02:03.25\n6;dnf\n7;DNS\n8;dsq\n9;\n10;--:--\n11;1h02\'03"\n12;aufgegeben\n',
    );
    expect(table.faults).toEqual([]);
    expect(table.rows.map((row) => row.finish ?? row.status ?? null)).toEqual([
      ...[3723, 3723, 3723, 3723.5, 3723.25, 'dnf', 'DNS', 'dsq', null, null, 3723, 'aufgegeben'],
    ]);
  });

  it.each(['1:75:00', '0', '0:00:00', '-5', 'soon', '1:02:03 AM', '12:60', '1e3'])('refuses the finish %s', (time) => {
    expect(faultsOf(results(`Bib;Chip Time\n7;${time}\n`))).toEqual([
      `row 2, column Chip Time: "${time}" is not a finish time greater than 0 (h:mm:ss, m:ss or seconds) nor DNF, DNS or DQ`,
    ]);
  });

  it('faults a bib that is there twice, and keeps bibs as text', () => {
    expect(faultsOf(results('Bib,Time\n07,5:00\n7,5:00\n07,6:00\n'))).toEqual([
      'row 4, column Bib: "07" is in row 2 already: a bib stands for one runner',
    ]);
  });

  it('faults impossible ages and overlong bibs', () => {
    expect(faultsOf(startList('Bib,Age\n1,131\n2,M40\n12345678901234567,3\n4,"40,5"\n'))).toEqual([
      'row 2, column Age: "131" is not an age in years from 0 to 130',
      'row 3, column Age: "M40" is not an age in years from 0 to 130',
      'row 4, column Bib: "12345678901234567" is longer than the 16 characters a bib may have',
    ]);
  });

  it('reads starts with offset, and wall-clock starts with the help of the race', () => {
    const text = 'Bib,Start\n1,2026-10-04T09:40:00+02:00\n2,9:45\n';
    expect(startList('Bib,Start\n1,2026-10-04T09:40:00+02:00\n').rows[0]?.start).toBe('2026-10-04T07:40:00.000Z');
    expect(startList(text, { startOfWallClock: () => '2026-10-04T07:45:00.000Z' }).rows[1]?.start).toBe(
      '2026-10-04T07:45:00.000Z',
    );
    expect(faultsOf(startList(text))[0]).toMatch(/^row 3, column Start: "9:45" is not a date-time/);
  });

  it('keeps faulty rows out of the rows, and a duplicate of a faulty row too', () => {
    const table = startList('Bib,Age\n1,old\n1,30\n2,40\n');
    expect(table.rows).toEqual([{ bib: '2', age: 40 }]);
    expect([table.faultCount, table.faultyRows]).toEqual([2, 2]);
  });

  it('counts all faults and keeps the first hundred', () => {
    const table = results(`Bib,Time\n${Array.from({ length: 250 }, (_, i) => `${i + 1},soon`).join('\n')}\n`);
    expect([table.faultCount, table.faults.length]).toEqual([250, 100]);
  });
});

describe('organisers’ files: large ones', () => {
  const rows = 300_000;
  const big = utf8(
    `Bib,Name,Time\n${Array.from({ length: rows }, (_, i) => `${i + 1},"R, ${i}",1:00:${i % 6}${i % 10}`).join('\n')}\n`,
  );

  it('reads 300,000 rows in steps with growing progress', async () => {
    const shares: number[] = [];
    const read = await readOrganiserFileInSteps(
      big,
      'results',
      {},
      {
        onProgress: (share) => shares.push(share),
        breathe: () => Promise.resolve(),
      },
    );
    expect(read.ok && read.value.rows.length).toBe(rows);
    expect(read.ok && read.value.faultCount).toBe(0);
    expect(shares.length).toBeGreaterThan(50);
    expect([...shares].sort((a, b) => a - b)).toEqual(shares);
    expect(shares.at(-1)).toBe(1);
  });

  it('stops when asked', async () => {
    let steps = 0;
    const read = await readOrganiserFileInSteps(
      big,
      'results',
      {},
      {
        stopped: () => (steps += 1) > 3,
        breathe: () => Promise.resolve(),
      },
    );
    expect(read).toEqual({ ok: false, error: { type: 'stopped' } });
  });
});
