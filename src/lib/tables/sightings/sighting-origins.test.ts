import { describe, expect, it } from 'vitest';
import { SightingOrigins } from './sighting-origins.ts';
import { SightingsReader } from './sightings-reader.ts';
import { tableFaultWords } from '../csv/table-fault.ts';

const HEADINGS = 'record_id,race,checkpoint,km,bib,left,right,observer,method,observed_at,note';
const sighting = (id: string) => `${id},Mill Ten,Sluice,9.5,184,rearfoot,midfoot,D1,live,2031-09-01T06:21:44+01:00,`;

function read(text: string, chunk = 1_000_000) {
  const origins = new SightingOrigins();
  const reader = new SightingsReader(origins);
  const bytes = new TextEncoder().encode(text);
  for (let at = 0; at < bytes.length; at += chunk) reader.push(bytes.subarray(at, at + chunk));
  return { origins, read: reader.finish() };
}

describe('SightingOrigins', () => {
  it('goes row by row with the table, however the bytes arrive', () => {
    const text = [
      `${HEADINGS},offset_ms,device,seq`,
      `${sighting('a')},-1500.5,T1,3`,
      `${sighting('b')},,,7`,
      '',
      `${sighting('a')},-1500.5,T1,3`,
      `${sighting('c')},,"'=T,2",`,
    ].join('\r\n');
    for (const chunk of [1, 7, 1_000_000]) {
      const { origins, read: outcome } = read(text, chunk);
      expect(outcome.ok && outcome.value.table.size).toBe(3);
      expect([0, 1, 2, 3].map((row) => origins.of(row))).toEqual([
        { device: 'T1', seq: 3, offsetMs: -1500.5 },
        undefined,
        { device: '=T,2', seq: null, offsetMs: null },
        undefined,
      ]);
    }
  });

  it('knows no origin where the table has no column for it', () => {
    expect(read(`${HEADINGS}\n${sighting('a')}\n`).origins.of(0)).toBeUndefined();
    expect(read(`${HEADINGS},seq\n${sighting('a')},4\n`).origins.of(0)).toBeUndefined();
    expect(read(`${HEADINGS},device\n${sighting('a')},T1\n`).origins.of(0)).toEqual({
      ...{ device: 'T1', seq: null, offsetMs: null },
    });
  });

  it('says each cell that is no number, with its row as a spreadsheet counts, among the other faults', () => {
    const text = [
      `${HEADINGS},device,seq,offset_ms`,
      '',
      `${sighting('a')},T1,0,`,
      `${sighting('b')},T1,2,soon`,
      sighting('c').replace('live', 'film') + ',T1,3,',
    ].join('\n');
    const { read: outcome } = read(text);
    expect(outcome.ok ? [] : outcome.error.faults.map(tableFaultWords)).toEqual([
      'row 3, column seq: "0" is not a whole number from 1',
      'row 4, column offset_ms: "soon" is not a number of milliseconds',
      'row 5, column method: "film" is not one of live, clip, ruling',
    ]);
  });
});
