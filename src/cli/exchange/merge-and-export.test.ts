import { mkdtemp, readdir, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { catchOutput } from '../../../tests/helpers/catch-output.ts';
import { recordId } from '../../../tests/helpers/records/record-arbitraries.ts';
import { viewOfRace } from '../../lib/sightings/race-view.ts';
import { tableOfRecords } from '../../lib/sightings/table-of-records.ts';
import { writeHandoff } from '../../lib/tables/handoff-file.ts';
import { unguardCell } from '../../lib/tables/csv/spreadsheet-guard.ts';
import type { Race } from '../../lib/race/race.ts';
import type { Sighting, TallyRecord } from '../../lib/records/record.ts';
import Papa from 'papaparse';
import { command as exportCommand } from './export.ts';
import { command as mergeCommand } from './merge.ts';

let folder = '';
beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), 'kerbside-'));
});
afterEach(async () => {
  await rm(folder, { recursive: true });
});

const race: Race = {
  id: '7d0c2f7e-55aa-4a39-9c5e-2d9d3f0b6c01',
  name: '=Alder, Ten',
  date: '2026-10-04',
  checkpoints: [
    { id: 'a', name: 'Mill "North"', km: 5 },
    { id: 'b', name: 'Weir', km: 15.25 },
  ],
  revision: 3,
};
const at = (second: number) => `2026-10-04T07:30:${String(second).padStart(2, '0')}.000Z`;
const base = (n: number) => ({
  id: recordId(n),
  race: race.id,
  observer: 'A',
  device: 'tablet-1',
  seq: n,
  madeAt: at(n),
});
const sighting = (n: number, fields: Partial<Sighting> = {}): Sighting => ({
  ...base(n),
  kind: 'sighting',
  checkpoint: 'a',
  bib: String(n),
  left: 'rearfoot',
  right: 'rearfoot',
  method: 'live',
  observedAt: at(n),
  ...fields,
});
const RECORDS: TallyRecord[] = [
  sighting(1),
  sighting(2, { bib: '-12', note: '=SUM(A1)\nsecond line, "quoted"' }),
  sighting(3, { bib: null, gait: 'walk', left: 'unseen', right: 'unseen' }),
  { ...base(4), kind: 'ruling', checkpoint: 'b', bib: '007', left: 'midfoot', right: 'unseen' },
  sighting(5),
  { ...base(6), kind: 'correction', target: recordId(1), bib: '11', checkpoint: 'b' },
  { ...base(7), kind: 'correction', target: recordId(1), left: 'forefoot', right: 'rearfoot', bib: '12' },
  { ...base(8), kind: 'withdrawal', target: recordId(5), observer: 'B' },
  { ...base(9), kind: 'correction', target: recordId(2), gait: 'walk', left: 'unseen', right: 'unseen' },
  { ...base(10), kind: 'withdrawal', target: recordId(9) },
  { ...base(11), kind: 'correction', target: recordId(2), bib: '13' },
];
const path = (name: string) => join(folder, name);
const put = (name: string, records: Iterable<TallyRecord>, setUp = race) =>
  writeFile(path(name), [...writeHandoff(setUp, records)].join(''));

async function run(command: typeof mergeCommand, ...args: string[]) {
  const { said, io } = catchOutput();
  return { code: await command.run(args, io), ...said };
}

describe('kerbside merge', () => {
  it('writes the union, and the same bytes in any order', async () => {
    await put('1.ndjson', RECORDS.slice(0, 7));
    await put('2.ndjson', RECORDS.slice(4).reverse(), { ...race, name: 'Old name', revision: 2 });
    await put('all.ndjson', RECORDS);
    expect(await run(mergeCommand, path('1.ndjson'), path('2.ndjson'), '--out', path('a'))).toEqual({
      code: 0,
      out: '',
      err: '',
    });
    expect(
      (await run(mergeCommand, path('2.ndjson'), path('1.ndjson'), path('1.ndjson'), '--out', path('b'))).code,
    ).toBe(0);
    const whole = await readFile(path('all.ndjson'), 'utf8');
    expect(await readFile(path('a'), 'utf8')).toBe(whole);
    expect(await readFile(path('b'), 'utf8')).toBe(whole);
  });

  it('replaces an earlier output, and another file only with --force', async () => {
    await put('1.ndjson', RECORDS.slice(0, 2));
    await put('2.ndjson', RECORDS.slice(2));
    await put('out', RECORDS.slice(0, 4));
    await put('all.ndjson', RECORDS);
    const whole = await readFile(path('all.ndjson'), 'utf8');
    const files = [path('1.ndjson'), path('2.ndjson'), '--out', path('out')];
    expect((await run(mergeCommand, ...files)).code).toBe(0);
    expect(await readFile(path('out'), 'utf8')).toBe(whole);
    // A union that has not all of it, a newer set-up, another race, another kind of file.
    for (const before of [
      whole,
      [...writeHandoff({ ...race, revision: 4 }, [])].join(''),
      [...writeHandoff({ ...race, id: race.id.replace('7d', '8d') }, [])].join(''),
      'my notes\n',
    ]) {
      await writeFile(path('out'), before);
      const { code, err } = await run(mergeCommand, path('1.ndjson'), '--out', path('out'));
      expect([code, err.split('\n').length]).toEqual([2, 2]);
      expect(err).toMatch(/out: already exists .*--force replaces it/);
      expect(await readFile(path('out'), 'utf8')).toBe(before);
    }
    expect((await run(mergeCommand, ...files, '--force')).code).toBe(0);
    expect(await readFile(path('out'), 'utf8')).toBe(whole);
  });

  it('says file and line of a fault, writes nothing and leaves what was there', async () => {
    await put('1.ndjson', RECORDS);
    await writeFile(path('2.ndjson'), `${await readFile(path('1.ndjson'), 'utf8')}{"id":`);
    await writeFile(path('out'), 'before');
    const { code, err } = await run(mergeCommand, path('1.ndjson'), path('2.ndjson'), '--out', path('out'));
    expect(code).toBe(2);
    expect(err).toBe(`${path('2.ndjson')}: line 13: this line is not one whole JSON value\n`);
    expect(await readFile(path('out'), 'utf8')).toBe('before');
    expect((await readdir(folder)).sort()).toEqual(['1.ndjson', '2.ndjson', 'out']);
  });

  it('says the first 20 faults and counts the rest', async () => {
    await put('1.ndjson', []);
    await writeFile(path('1.ndjson'), `${await readFile(path('1.ndjson'), 'utf8')}${'{}\n'.repeat(25)}`);
    const { err } = await run(mergeCommand, path('1.ndjson'), '--out', path('out'));
    expect(err.split('\n')).toHaveLength(22);
    expect(err).toContain('and 5 more faults');
  });

  it.each([[[]], [['--out', 'x']], [['a.ndjson']], [['a.ndjson', '--colour', 'red']]])(
    'refuses %j with exit code 2',
    async (args: string[]) => {
      const { code, err } = await run(mergeCommand, ...args);
      expect(code).toBe(2);
      expect(err).toMatch(/^kerbside merge: /);
    },
  );

  it('says which file cannot be read or written', async () => {
    await put('1.ndjson', RECORDS);
    expect((await run(mergeCommand, path('none.ndjson'), '--out', path('out'))).err).toMatch(
      /none\.ndjson: cannot be read/,
    );
    const unwritable = await run(mergeCommand, path('1.ndjson'), '--out', path('no/such/folder.ndjson'));
    expect(unwritable).toMatchObject({ code: 2, err: expect.stringContaining('cannot be written') as string });
  });
});

describe('kerbside export', () => {
  const read = async (name: string) =>
    Papa.parse<Record<string, string>>(await readFile(path(name), 'utf8'), {
      header: true,
      skipEmptyLines: true,
    }).data.map((row) => Object.fromEntries(Object.entries(row).map(([column, cell]) => [column, unguardCell(cell)])));

  it('writes the sightings as they now stand', async () => {
    await put('1.ndjson', RECORDS.slice(6));
    await put('2.ndjson', RECORDS.slice(0, 8));
    expect(await run(exportCommand, path('1.ndjson'), path('2.ndjson'), '--csv', path('out.csv'))).toEqual({
      code: 0,
      out: '',
      err: '',
    });
    const text = await readFile(path('out.csv'), 'utf8');
    expect(text.split('\r\n')[0]).toBe(
      'record_id,race,checkpoint,km,bib,left,right,observer,method,observed_at,gait,note,device,seq,offset_ms,clip,passage,near_foot,passed,timeEstimated',
    );
    expect(text).toContain(`"'=SUM(A1)\nsecond line, ""quoted"""`);
    const marks = { clip: '', passage: '', near_foot: '', passed: '', timeEstimated: '' };
    const common = { race: '=Alder, Ten', observer: 'A', device: 'tablet-1', offset_ms: '', ...marks };
    const weir = { checkpoint: 'Weir', km: '15.25' };
    const mill = { checkpoint: 'Mill "North"', km: '5' };
    expect(await read('out.csv')).toEqual([
      {
        ...common,
        ...weir,
        ...{ record_id: recordId(1), bib: '12', left: 'forefoot', right: 'rearfoot', method: 'live', gait: 'run' },
        ...{ observed_at: at(1), note: '', seq: '1' },
      },
      {
        ...common,
        ...mill,
        ...{ record_id: recordId(2), bib: '13', left: 'rearfoot', right: 'rearfoot', method: 'live', gait: 'run' },
        ...{ observed_at: at(2), note: '=SUM(A1)\nsecond line, "quoted"', seq: '2' },
      },
      {
        ...common,
        ...mill,
        ...{ record_id: recordId(3), bib: '', left: 'unseen', right: 'unseen', method: 'live', gait: 'walk' },
        ...{ observed_at: at(3), note: '', seq: '3' },
      },
      {
        ...common,
        ...weir,
        ...{ record_id: recordId(4), bib: '007', left: 'midfoot', right: 'unseen', method: 'ruling', gait: 'run' },
        ...{ observed_at: at(4), note: '', seq: '4' },
      },
    ]);
  });

  it('begins tables with a byte-order mark only when asked, and replaces its own either way', async () => {
    await put('all.ndjson', RECORDS);
    const write = async (...more: string[]): Promise<string> => {
      const args = [path('all.ndjson'), '--csv', path('out.csv'), ...more];
      expect((await run(exportCommand, ...args)).code).toBe(0);
      return readFile(path('out.csv'), 'utf8');
    };
    const plain = await write();
    expect(plain.startsWith('record_id,')).toBe(true);
    expect(await write('--bom')).toBe(`\ufeff${plain}`);
    expect(await write()).toBe(plain);
  });

  it('lists every change with what stood before', async () => {
    await put('1.ndjson', RECORDS);
    expect((await run(exportCommand, path('1.ndjson'), '--changes', path('changes.csv'))).code).toBe(0);
    const change = (n: number, target: number, field: string, before: string, after: string, by = 'A') => ({
      record: recordId(n),
      target: recordId(target),
      field,
      before,
      after,
      by,
      when: at(n),
    });
    expect(await read('changes.csv')).toEqual([
      change(6, 1, 'checkpoint', 'Mill "North"', 'Weir'),
      change(6, 1, 'bib', '1', '11'),
      change(7, 1, 'bib', '11', '12'),
      change(7, 1, 'left', 'rearfoot', 'forefoot'),
      change(8, 5, 'withdrawn', 'no', 'yes', 'B'),
      change(9, 2, 'gait', 'run', 'walk'),
      change(9, 2, 'left', 'rearfoot', 'unseen'),
      change(9, 2, 'right', 'rearfoot', 'unseen'),
      change(10, 9, 'withdrawn', 'no', 'yes'),
      change(11, 2, 'bib', '-12', '13'),
    ]);
  });

  it('refuses records of a checkpoint that the race does not have, and writes neither table', async () => {
    await put('1.ndjson', [...RECORDS, sighting(12, { checkpoint: 'gone' })]);
    const { code, err } = await run(exportCommand, path('1.ndjson'), '--csv', path('a'), '--changes', path('b'));
    expect(code).toBe(2);
    expect(err).toContain(`record ${recordId(12)}: the race has no such checkpoint`);
    expect(await readdir(folder)).toEqual(['1.ndjson']);
  });

  it('writes the rows that the findings count', async () => {
    await put('1.ndjson', RECORDS);
    await run(exportCommand, path('1.ndjson'), '--csv', path('out.csv'));
    const table = tableOfRecords(viewOfRace(race, RECORDS));
    const rows = await read('out.csv');
    expect(rows.map((row) => row['record_id'])).toEqual(rows.map((_, i) => table.recordId(i)));
    expect(table.size).toBe(rows.length);
    expect(table.bibs).toEqual(['007', '12', '13']);
  });
});
