import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { tableFaultWords } from '../csv/table-fault.ts';
import { SightingOrigins } from './sighting-origins.ts';
import { SightingsReader } from './sightings-reader.ts';

const HEADINGS =
  'record_id,race,checkpoint,km,bib,left,right,observer,method,observed_at,note,gait,near_foot,passed,timeEstimated,own';
const COLUMNS = HEADINGS.split(',');

const oneOf = (usual: readonly string[], odd: readonly string[]) =>
  fc.oneof({ weight: 30, arbitrary: fc.constantFrom(...usual) }, { weight: 1, arbitrary: fc.constantFrom(...odd) });

const uuid = (n: number) => `0197abcd-${String(n).padStart(4, '0')}-7000-8000-000000000000`;
const FEET = ['rearfoot', 'midfoot', 'forefoot', 'unseen'];

const row = fc.record({
  record_id: fc.oneof(
    { weight: 20, arbitrary: fc.nat(400).map(uuid) },
    fc.constantFrom('', '7', '"x"', "'=1", uuid(1).toUpperCase()),
  ),
  race: oneOf(['Mill Ten'], ['Mill', 'Mill Ten ', '"Mill Ten"', '']),
  checkpoint: fc.constantFrom('Sluice', 'Weir'),
  bib: oneOf(
    ['7', '12', '123456', '1234567', 'A7', ''],
    ['007', ' 7', '7 ', "'7", "'=7", '"7"', '7"', '\u00e9', '\u0007', '=1'],
  ),
  left: oneOf(FEET, ['toe', 'rearfoot ', '"midfoot"', '']),
  right: oneOf(FEET, ['rear', 'unseenx']),
  observer: oneOf(['K1', 'L'], ['', ' ', 'K 1', "'@K", '\u00c5', '"K1"']),
  method: oneOf(['live', 'clip', 'ruling'], ['video', '']),
  observed_at: oneOf(
    ['2031-09-01T06:21:44.123Z', '2031-09-01T06:59:59.999Z', '2031-09-01T07:00:00.000Z'],
    [
      '2031-09-01T06:21:60.000Z',
      '2031-09-01T06:21:44Z',
      '2031-09-01T06:61:44.123Z',
      '2031-09-01T06:21:44.12xZ',
      '2031-02-30T06:21:44.123Z',
      '',
    ],
  ),
  note: oneOf(['', 'wet', "it's"], ["'+x", '"a, b"', 'a "b"', '\u00fc', 'two\rlines']),
  gait: oneOf(['', 'run'], ['walk', 'jog']),
  near_foot: oneOf(['', 'left', 'right'], ['unknown', 'both']),
  passed: oneOf([''], ['true', 'yes']),
  timeEstimated: oneOf(['', 'true'], ['no']),
  own: oneOf(['', 'x'], ['"', '\u00e9', 'a,b']),
});

function read(bytes: Uint8Array, size: number, origins: SightingOrigins | null) {
  const reader = new SightingsReader(origins);
  for (let at = 0; at < bytes.length; at += size) reader.push(bytes.subarray(at, at + size));
  const outcome = reader.finish();
  if (!outcome.ok) return [outcome.error.faults.map(tableFaultWords), outcome.error.faultCount];
  const { table, rows, race } = outcome.value;
  const ids = Array.from({ length: table.size }, (_, at) => table.recordId(at));
  return [{ ...table, recordId: ids, compareRecordIds: null }, rows, race];
}

describe('PlainRowReader', () => {
  // Who asks for the tablets has every row from the reader that takes everything.
  it('gives the table and the faults that reading every row in full gives, however the file is cut', () => {
    let plain = 0;
    fc.assert(
      fc.property(
        fc.array(row, { maxLength: 25 }),
        fc.integer({ min: 1, max: 4000 }),
        fc.constantFrom('\n', '\r\n'),
        (rows, size, end) => {
          const lines = rows.map((cells) =>
            COLUMNS.map((column) =>
              column === 'km' ? (cells.checkpoint === 'Weir' ? '12.5' : '5') : cells[column as keyof typeof cells],
            ).join(','),
          );
          const bytes = new TextEncoder().encode(`${[HEADINGS, ...lines].join(end)}${end}`);
          const inFull = read(bytes, size, new SightingOrigins());
          expect(read(bytes, size, null)).toEqual(inFull);
          if (inFull.length === 3) plain += 1;
        },
      ),
      { numRuns: 300 },
    );
    // Not all of them are refused.
    expect(plain).toBeGreaterThan(10);
  });

  it('takes no name with a comma, that stood in quotation marks, for two cells', () => {
    const cells = '5,7,rearfoot,rearfoot,K,live,2031-09-01T06:21:44.123Z,,,,,,';
    const text = `${HEADINGS}\n${uuid(1)},"A,Mill",Mill,${cells}\n${uuid(2)},A,Mill,${cells}\n`;
    const bytes = new TextEncoder().encode(text.padEnd(2000, '\n'));
    expect(read(bytes, 5000, null)).toEqual(read(bytes, 5000, new SightingOrigins()));
  });

  it('reads halves of a file to the same table as the whole', () => {
    const lines = Array.from(
      { length: 60 },
      (_, i) =>
        `${uuid(i)},Mill Ten,${i % 2 ? 'Weir,12.5' : 'Sluice,5'},${i % 7},rearfoot,midfoot,K${i % 3},live,2031-09-01T06:21:44.123Z,${i % 5 ? '' : `n${i}`},,,,,`,
    );
    const bytesOf = (some: readonly string[]) => new TextEncoder().encode(`${[HEADINGS, ...some].join('\n')}\n`);
    const whole = read(bytesOf(lines), 5000, null);
    const reader = (some: readonly string[]) => {
      const half = new SightingsReader(null, { idsAssumedNew: true });
      half.push(bytesOf(some));
      return half;
    };
    const first = reader(lines.slice(0, 31));
    expect(first.append(reader(lines.slice(31)).part()!)).toBe(true);
    const outcome = first.finish();
    if (!outcome.ok) throw new Error('faults');
    const { table, rows, race } = outcome.value;
    const ids = Array.from({ length: table.size }, (_, at) => table.recordId(at));
    expect([{ ...table, recordId: ids, compareRecordIds: null }, rows, race]).toEqual(whole);
    // Another race, another distance, a fault, half a row.
    const changed = (from: string, to: string) => lines.slice(31).map((line) => line.replace(from, to));
    expect(reader(lines.slice(0, 31)).append(reader(changed('Mill Ten', 'Mill')).part()!)).toBe(false);
    expect(reader(lines.slice(0, 31)).append(reader(changed(',5,', ',6,')).part()!)).toBe(false);
    expect(reader(changed('rearfoot', 'toe')).part()).toBe(null);
    const cut = reader(lines);
    cut.push(new TextEncoder().encode('half a r'));
    expect(cut.part()).toBe(null);
  });
});
