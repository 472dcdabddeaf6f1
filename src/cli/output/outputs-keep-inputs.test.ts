import { chmod, link, lstat, mkdtemp, readdir, readFile, rm, stat, symlink, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { catchOutput } from '../../../tests/helpers/catch-output.ts';
import { inventedRace, sighting } from '../../../tests/helpers/hub/hub-client.ts';
import { writeHandoff } from '../../lib/tables/handoff-file.ts';
import { command as exportCommand } from '../exchange/export.ts';
import { command as mergeCommand } from '../exchange/merge.ts';

let folder = '';
const path = (name: string) => join(folder, name);
const race = inventedRace();
const HANDOFF = [...writeHandoff(race, [sighting(race.id, 'tab-1', 1)])].join('');

beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), 'kerbside-outputs-'));
  await writeFile(path('in.ndjson'), HANDOFF);
});
afterEach(() => rm(folder, { recursive: true }));

async function run(command: typeof mergeCommand, ...args: string[]) {
  const { said, io } = catchOutput();
  return { code: await command.run(args, io), ...said };
}

describe('an output that is an input or another output', () => {
  const same: [name: string, make: () => Promise<unknown>, out: string][] = [
    ['the same name', () => Promise.resolve(), 'in.ndjson'],
    ['another way to it', () => Promise.resolve(), './x/../in.ndjson'],
    ['a symbolic link', () => symlink('in.ndjson', path('link')), 'link'],
    ['a link to a link', () => symlink('in.ndjson', path('one')).then(() => symlink('one', path('two'))), 'two'],
    ['a hard link', () => link(path('in.ndjson'), path('hard')), 'hard'],
  ];

  it.each(same)('is refused by %s, also with --force', async (_, make, name) => {
    await make();
    const out = `${folder}/${name.replace('x/../', '')}`;
    for (const force of [[], ['--force']]) {
      const exported = await run(exportCommand, path('in.ndjson'), '--csv', out, ...force);
      expect(exported).toEqual({
        code: 2,
        out: '',
        err: `${out}: is the same file as the input ${path('in.ndjson')}; nothing was written\n`,
      });
      expect((await run(mergeCommand, path('in.ndjson'), '--out', out, ...force)).code).toBe(2);
      expect(await readFile(path('in.ndjson'), 'utf8')).toBe(HANDOFF);
    }
  });

  it('is refused as two outputs of one name, there already or not', async () => {
    const twice = ['--csv', path('x.csv'), '--changes', path('./x.csv')];
    const { code, err } = await run(exportCommand, path('in.ndjson'), ...twice);
    expect([code, err]).toEqual([
      2,
      `${path('x.csv')}: is the same file as the output ${path('x.csv')}; nothing was written\n`,
    ]);
    await writeFile(path('x.csv'), 'a table of my own');
    await link(path('x.csv'), path('y.csv'));
    const linked = ['--csv', path('x.csv'), '--changes', path('y.csv'), '--force'];
    expect((await run(exportCommand, path('in.ndjson'), ...linked)).code).toBe(2);
    expect(await readFile(path('x.csv'), 'utf8')).toBe('a table of my own');
    expect((await readdir(folder)).sort()).toEqual(['in.ndjson', 'x.csv', 'y.csv']);
  });
});

describe('an output that stands there', () => {
  it('is replaced when it is an earlier table, and keeps its mode and the link to it', async () => {
    expect((await run(exportCommand, path('in.ndjson'), '--csv', path('a.csv'))).code).toBe(0);
    await chmod(path('a.csv'), 0o640);
    await symlink('a.csv', path('link.csv'));
    const whole = await readFile(path('a.csv'), 'utf8');
    await writeFile(path('a.csv'), whole.slice(0, -40));
    expect((await run(exportCommand, path('in.ndjson'), '--csv', path('link.csv'))).code).toBe(0);
    expect(await readFile(path('a.csv'), 'utf8')).toBe(whole);
    expect((await stat(path('a.csv'))).mode & 0o777).toBe(0o640);
    expect((await lstat(path('link.csv'))).isSymbolicLink()).toBe(true);
    expect((await readdir(folder)).sort()).toEqual(['a.csv', 'in.ndjson', 'link.csv']);
  });

  it('is written where a link points that leads nowhere yet', async () => {
    await symlink('new.csv', path('link.csv'));
    expect((await run(exportCommand, path('in.ndjson'), '--csv', path('link.csv'))).code).toBe(0);
    expect((await readdir(folder)).sort()).toEqual(['in.ndjson', 'link.csv', 'new.csv']);
  });

  it('stays when it is something else, unless --force is given', async () => {
    await writeFile(path('notes.csv'), 'what I noted\n');
    const refused = await run(exportCommand, path('in.ndjson'), '--csv', path('notes.csv'));
    expect(refused.code).toBe(2);
    expect(refused.err).toMatch(/notes\.csv: already exists and was not written by this command/);
    expect(await readFile(path('notes.csv'), 'utf8')).toBe('what I noted\n');
    expect((await run(exportCommand, path('in.ndjson'), '--csv', path('notes.csv'), '--force')).code).toBe(0);
    expect(await readFile(path('notes.csv'), 'utf8')).toMatch(/^record_id,/);
  });
});
