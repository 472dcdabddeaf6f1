import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { catchOutput } from '../../../tests/helpers/catch-output.ts';
import { demoRace } from '../../lib/demo/demo-race.ts';
import { viewOfRace } from '../../lib/sightings/race-view.ts';
import { sightingsCsv } from '../../lib/tables/sightings/sightings-csv.ts';
import { command } from './check.ts';

let folder = '';
beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), 'kerbside-'));
});
afterEach(async () => {
  await rm(folder, { recursive: true });
});

async function check(...args: string[]) {
  const { said, io } = catchOutput();
  return { code: await command.run(args, io), ...said };
}
async function file(name: string, text: string): Promise<string> {
  const path = join(folder, name);
  await writeFile(path, text);
  return path;
}

describe('kerbside check', () => {
  it('finds in the exported tables of the demo race what was planted', async () => {
    const { race, startList, results, records, plants } = demoRace();
    const sightings = await file('s.csv', [...sightingsCsv(viewOfRace(race, records))].join(''));
    const list = await file('l.csv', `Bib\n${startList.map((row) => row.bib).join('\n')}\n`);
    const times = await file(
      'r.csv',
      `Bib,Finish\n${results.map((row) => `${row.bib},${row.finish ?? ''}`).join('\n')}\n`,
    );
    for (const more of [[], ['--results', times], ['--results', times, '--start', '2026-10-04T09:00:00+01:00']]) {
      const { code, out } = await check('--sightings', sightings, '--startlist', list, ...more, '--json');
      expect(code).toBe(0);
      const { doubts } = JSON.parse(out) as { doubts: Record<string, unknown>[] };
      expect(doubts).toHaveLength(5);
      for (const doubt of doubts) {
        expect(Object.keys(doubt)).toEqual(['kind', 'checkpoint', 'bib', 'records', 'candidates']);
      }
      const { misread, swapped, dispute, double } = plants;
      expect(doubts).toContainEqual(expect.objectContaining({ kind: 'unlisted', bib: misread.written }));
      expect(doubts).toContainEqual(
        expect.objectContaining({ kind: 'unlisted', bib: swapped.written, records: [swapped.record] }),
      );
      expect(doubts).toContainEqual(expect.objectContaining({ kind: 'disputed', bib: dispute.bib }));
      expect(doubts).toContainEqual(expect.objectContaining({ kind: 'double', bib: double.bib }));
      expect(doubts).toContainEqual(expect.objectContaining({ kind: 'time', bib: null, checkpoint: 'Old Pier' }));
    }
    const { out } = await check('--sightings', sightings, '--startlist', list);
    expect(out).toContain('5 doubts');
    expect(out).toContain(`${plants.misread.written} is not on the start list`);
  });

  it('says what is wrong with files and options, and ends with 2', async () => {
    const sightings = await file('s.csv', 'record_id,race\n1,x\n');
    const wrong = await check('--sightings', sightings, '--startlist', join(folder, 'none.csv'));
    expect(wrong.code).toBe(2);
    expect(wrong.out).toBe('');
    expect(wrong.err).toContain('s.csv: row 1, column checkpoint');
    expect(wrong.err).toContain('none.csv: there is no such file');
    expect(await check()).toMatchObject({ code: 2, out: '' });
    expect((await check('--sightings', sightings, '--start', 'noon')).err).toContain('--start: "noon"');
    expect((await check('--sightings', sightings, '--finish-clock', 'sun')).err).toContain('--finish-clock');
  });

  it('reads device, seq and offset_ms where the table has them', async () => {
    const head =
      'record_id,race,checkpoint,km,bib,left,right,observer,method,observed_at,note,device,seq,offset_ms\r\n';
    const row = (n: number, seq: number | string) =>
      `r${n},R,Weir,5,${n},rearfoot,rearfoot,A,live,2026-10-04T09:${10 + n}:00Z,,T1,${seq},-3600000\r\n`;
    const list = await file('l.csv', 'Bib\n1\n2\n3\n');
    const holes = await file('s.csv', head + row(1, 1) + row(2, 2) + row(3, 5));
    const { out } = await check('--sightings', holes, '--startlist', list, '--json');
    expect(JSON.parse(out)).toEqual({
      doubts: [{ kind: 'missing', checkpoint: 'Weir', bib: null, records: [], candidates: [] }],
    });
    const bad = await file('b.csv', head + row(1, 'x'));
    expect((await check('--sightings', bad)).err).toContain('row 2, column seq: "x"');
  });

  it('asks when bibs and times of the lists are written otherwise than the sightings', async () => {
    const rows = [1, 2, 3].map((n) => `r${n},R,Weir,10,${n},rearfoot,rearfoot,A,live,2026-10-04T09:1${n}:00Z,\r\n`);
    const head = 'record_id,race,checkpoint,km,bib,left,right,observer,method,observed_at,note\r\n';
    const sightings = await file('s.csv', head + rows.join(''));
    const list = await file('l.csv', 'Bib\n001\n002\n003\n');
    const asked = await check('--sightings', sightings, '--startlist', list, '--json');
    expect(asked).toMatchObject({ code: 2, out: '' });
    expect(asked.err).toContain('l.csv: None of these bibs was sighted; without leading zeros 3 would be.');
    const told = await check('--sightings', sightings, '--startlist', list, '--bibs', 'without-zeros', '--json');
    expect(told).toMatchObject({ code: 0 });
    expect(told.out).not.toContain('unlisted');
    const results = await file('r.csv', 'Bib,Finish\n1,1:35\n2,1:41\n3,1:50\n');
    const times = await check('--sightings', sightings, '--results', results, '--km', '21.1', '--json');
    expect(times.code).toBe(2);
    expect(times.err).toContain('--times h:mm');
    const read = await check('--sightings', sightings, '--results', results, '--km', '21.1', '--times', 'h:mm');
    expect(read.code).toBe(0);
  });
});
