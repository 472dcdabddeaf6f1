import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { SightingsReader, type ReadSightings } from '../../lib/tables/sightings/sightings-reader.ts';
import { readInHalves } from './read-in-halves.ts';

const HEADINGS = 'record_id,race,checkpoint,km,bib,left,right,observer,method,observed_at,note';
const ROWS = 400;
const lines = Array.from({ length: ROWS }, (_, i) => {
  const id = `0197${String((i * 7) % 50).padStart(4, '0')}-0001-7000-8000-${String(i).padStart(12, '0')}`;
  const note = i % 9 === 0 ? '"in rain, ""hard"""' : i % 5 === 0 ? 'wet' : '';
  return `${id},Mill Ten,${i % 2 ? 'Weir,12.5' : 'Sluice,5'},${i % 90},rearfoot,midfoot,K${i % 3},live,2031-09-01T06:21:44.123Z,${note}`;
});

let folder = '';
beforeAll(() => (folder = mkdtempSync(join(tmpdir(), 'kerbside-halves-'))));
afterAll(() => rmSync(folder, { recursive: true }));

const textOf = (rows: readonly string[]) => `${[HEADINGS, ...rows].join('\n')}\n`;

function inHalves(text: string): Promise<ReadSightings | null> {
  const path = join(folder, 'sightings.csv');
  writeFileSync(path, text);
  return readInHalves(path, undefined, 0);
}

function inOne(text: string): ReadSightings {
  const reader = new SightingsReader();
  reader.push(new TextEncoder().encode(text));
  const read = reader.finish();
  if (!read.ok) throw new Error('faults');
  return read.value;
}

function shown({ table, rows, race }: ReadSightings) {
  const ids = Array.from({ length: table.size }, (_, row) => table.recordId(row));
  return { ...table, recordId: ids, compareRecordIds: null, rows, race };
}

describe('readInHalves', () => {
  it('reads the table that one reader reads', async () => {
    for (const text of [textOf(lines), `\ufeff${textOf(lines).trimEnd().replaceAll('\n', '\r\n')}`]) {
      const read = await inHalves(text);
      expect(read && shown(read)).toEqual(shown(inOne(text)));
    }
  });

  it.each([
    ['an id that stands in both halves', [...lines, lines[3]!]],
    ['a fault in the second half', [...lines, lines[3]!.replace('rearfoot', 'toe')]],
    ['a fault in the first half', [lines[3]!.replace('rearfoot', 'toe'), ...lines]],
    [
      'a checkpoint that lies elsewhere',
      [...lines, lines[3]!.replace('12.5', '13').replace('000000000003', '00000000ffff')],
    ],
    ['an id that is no UUID', [...lines, lines[3]!.replace('0197', 'x197')]],
    ['two races', [...lines, lines[3]!.replace('Ten', '11').replace('000000000003', '00000000ffff')]],
  ])('leaves a file with %s to the stream', async (_, rows) => {
    expect(await inHalves(textOf(rows))).toBe(null);
  });

  it('leaves a file to the stream that would be parted within quotation marks', async () => {
    const long = lines[3]!.replace('000000000003', '00000000ffff') + `"${'a line\n'.repeat(30_000)}"`;
    expect(await inHalves(textOf([lines[0]!, long, lines[1]!]))).toBe(null);
  });

  it('leaves what it cannot part or find', async () => {
    expect(await inHalves('')).toBe(null);
    expect(await inHalves(HEADINGS)).toBe(null);
    expect(await readInHalves(join(folder, 'none.csv'), undefined, 0)).toBe(null);
    expect(await readInHalves(folder, undefined, 0)).toBe(null);
  });
});
