// Folders, hand-off files and tables that earlier versions made: what people have goes on reading, for ever the same.
import { cpSync, mkdtempSync, readdirSync, readFileSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { command as exportCommand } from '../../src/cli/exchange/export.ts';
import { command as mergeCommand } from '../../src/cli/exchange/merge.ts';
import { writeHandoff } from '../../src/lib/tables/handoff-file.ts';
import type { Race } from '../../src/lib/race/race.ts';
import type { TallyRecord } from '../../src/lib/records/record.ts';
import type { Pulled, Pushed } from '../../src/lib/wire/wire.ts';
import { buildIfStale } from '../helpers/build-if-stale.ts';
import { catchOutput } from '../helpers/catch-output.ts';
import { freePort } from '../helpers/free-port.ts';
import { call, join as joinRace, pullAll, sighting } from '../helpers/hub/hub-client.ts';
import { startHub } from '../helpers/hub/start-hub.mjs';

const STORED = fileURLToPath(new URL('../fixtures/stored-by-earlier/', import.meta.url));
const WITH_FILES = join(STORED, '3-before-rooms');
const versions = readdirSync(STORED, { withFileTypes: true }).filter((entry) => entry.isDirectory());

interface Access {
  readonly race: string;
  readonly organiserKey: string;
  readonly codes: { readonly observer: string };
  readonly tokens: Readonly<Record<string, string>>;
  readonly cursor: string;
  readonly records: number;
}

beforeAll(() => buildIfStale(), 180_000);

describe.each(versions.map(({ name }) => name))('the hub folder %s', (version) => {
  const data = mkdtempSync(join(tmpdir(), 'kerbside-earlier-'));
  const access = JSON.parse(readFileSync(join(STORED, version, 'access.json'), 'utf8')) as Access;
  const path = `/races/${access.race}`;
  let hub: Awaited<ReturnType<typeof startHub>>;

  beforeAll(async () => {
    cpSync(join(STORED, version, 'hub'), data, { recursive: true });
    // The key is the one in the folder.
    hub = await startHub({ port: await freePort(), key: '', data });
  }, 60_000);
  afterAll(async () => {
    await hub.end();
    rmSync(data, { recursive: true });
  });

  const organiser = { token: access.organiserKey };

  test('gives every record, list and device that it holds', async () => {
    const { records, cursor } = await pullAll(hub.url, access.race, access.organiserKey);
    expect([records.length, cursor]).toEqual([access.records, access.cursor]);
    for (const list of ['startlist', 'results']) {
      const { body } = await call(hub.url, 'GET', `${path}/${list}`, organiser);
      expect((body as { rows: unknown[] }).rows).toHaveLength(24);
    }
    const { body } = await call(hub.url, 'GET', `${path}/devices`, organiser);
    expect((body as { device: string }[]).map(({ device }) => device).sort()).toEqual(
      expect.arrayContaining(['desk', 'tab-a1', 'tab-a2', 'tab-b1']),
    );
    const refused = await call(hub.url, 'GET', `${path}/refused`, organiser);
    expect((refused.body as { records: unknown[] }).records).toHaveLength(1);
  });

  test('lets devices in by its code, counts wrong ones, and takes records by old tokens and new', async () => {
    expect((await call(hub.url, 'POST', '/join', { body: { code: 'AAA-AAAA-AAA', device: 'x' } })).status).toBe(401);
    const { token } = await joinRace(hub.url, access.codes.observer, 'tab-new');
    for (const [device, its] of [
      ['tab-new', token],
      ['tab-a1', access.tokens['tab-a1']],
    ] as const) {
      const body = { records: [sighting(access.race, device, 900, { checkpoint: 'ford' })] };
      const pushed = await call(hub.url, 'POST', `${path}/records`, { token: its ?? '', body });
      expect([pushed.status, (pushed.body as Pushed).accepted]).toEqual([200, 1]);
    }
    const after = await call(hub.url, 'GET', `${path}/records?after=${access.cursor}`, organiser);
    expect((after.body as Pulled).records.map(({ device }) => device)).toEqual(['tab-new', 'tab-a1']);
  });

  test('is closed to everyone but its owner', () => {
    expect(statSync(data).mode & 0o777).toBe(0o700);
    for (const name of readdirSync(data))
      expect([name, statSync(join(data, name)).mode & 0o777]).toEqual([name, 0o600]);
  });
});

describe('the race stored before the rooms', () => {
  const folder = mkdtempSync(join(tmpdir(), 'kerbside-earlier-files-'));
  afterAll(() => rmSync(folder, { recursive: true }));
  const file = (name: string) => readFileSync(join(WITH_FILES, name));
  const out = (name: string) => join(folder, name);
  async function run(command: typeof mergeCommand, ...args: string[]) {
    const { said, io } = catchOutput();
    expect([await command.run(args, io), said.err]).toEqual([0, '']);
  }

  test('merges to the same bytes', async () => {
    await run(mergeCommand, join(WITH_FILES, 'handoff.ndjson'), '--out', out('merged.ndjson'));
    expect(readFileSync(out('merged.ndjson')).equals(file('handoff.ndjson'))).toBe(true);
  });

  test('gives the same tables: every cell that was there is there still', async () => {
    const tables = ['--csv', out('sightings.csv'), '--changes', out('changes.csv')];
    await run(exportCommand, join(WITH_FILES, 'handoff.ndjson'), ...tables);
    for (const name of ['sightings.csv', 'changes.csv']) {
      // Later versions may set more columns after those that stand.
      const before = cellsOf(file(name).toString());
      const now = cellsOf(readFileSync(out(name), 'utf8'));
      expect(now.map((row) => row.slice(0, before[0]?.length))).toEqual(before);
    }
  });

  test('hands in to a hub as it was, and comes back to the byte', async () => {
    const [, ...lines] = file('handoff.ndjson').toString().trimEnd().split('\n');
    const records = lines.map((line) => JSON.parse(line) as TallyRecord);
    const { race } = JSON.parse(file('handoff.ndjson').toString().split('\n')[0] ?? '') as { race: Race };
    const key = 'invented-organiser-key-0123';
    const hub = await startHub({ port: await freePort(), key });
    try {
      expect((await call(hub.url, 'POST', '/races', { token: key, body: race })).status).toBe(201);
      const pushed = await call(hub.url, 'POST', `/races/${race.id}/records`, { token: key, body: { records } });
      expect(pushed.body).toMatchObject({ accepted: records.length, rejected: [] });
      const pulled = await pullAll(hub.url, race.id, key);
      const again = await call(hub.url, 'GET', `/races/${race.id}`, { token: key });
      expect([...writeHandoff(again.body as Race, pulled.records)].join('')).toBe(file('handoff.ndjson').toString());
    } finally {
      await hub.end();
    }
  });
});

/** The cells of a table that is quoted as our own writer does. */
function cellsOf(text: string): string[][] {
  const rows: string[][] = [[]];
  for (const [, quoted, plain, end] of text.matchAll(/(?:"((?:[^"]|"")*)"|([^,"\r\n]*))(,|\r\n|$)/g)) {
    rows.at(-1)?.push(quoted?.replaceAll('""', '"') ?? plain ?? '');
    if (end === '\r\n') rows.push([]);
  }
  return rows.filter((row) => row.length > 1);
}
