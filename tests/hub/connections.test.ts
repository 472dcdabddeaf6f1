import { spawn } from 'node:child_process';
import { cpSync, mkdirSync, mkdtempSync, readdirSync, rmSync, symlinkSync } from 'node:fs';
import { Agent, request } from 'node:http';
import { tmpdir } from 'node:os';
import { join as joinPath } from 'node:path';
import process from 'node:process';
import { setTimeout as sleep } from 'node:timers/promises';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { buildIfStale } from '../helpers/build-if-stale.ts';
import { freePort } from '../helpers/free-port.ts';
import { call, join, openRace, ORGANISER_KEY, sighting } from '../helpers/hub/hub-client.ts';
import { startHub } from '../helpers/hub/start-hub.mjs';

const ROOT = fileURLToPath(new URL('../../', import.meta.url));
const SERVE = joinPath(ROOT, 'build/cli/serve.js');

beforeAll(() => buildIfStale(), 180_000);

describe('a call that is refused before its body was read', () => {
  let hub: Awaited<ReturnType<typeof startHub>>;
  beforeAll(async () => {
    hub = await startHub({ port: await freePort(), key: ORGANISER_KEY });
  }, 60_000);
  afterAll(() => hub.end());

  const big = `"${'x'.repeat(3_000_000)}"`;

  test('does not spoil the next call of the same client, 20 times in a row', async () => {
    const { race, codes } = await openRace(hub.url);
    const { token } = await join(hub.url, codes.observer, 'tab-1');
    const path = `/races/${race.id}/records`;
    for (let seq = 1; seq <= 20; seq += 1) {
      const tooLarge = await call(hub.url, 'POST', path, { token, body: big });
      expect([tooLarge.status, tooLarge.headers.get('connection')]).toEqual([413, 'close']);
      const unknown = await call(hub.url, 'POST', path, { token: 'a-token-that-nobody-has', body: big });
      expect([unknown.status, unknown.headers.get('connection')]).toEqual([401, 'close']);
      const pushed = await call(hub.url, 'POST', path, { token, body: { records: [sighting(race.id, 'tab-1', seq)] } });
      expect([pushed.status, pushed.headers.get('connection')]).toEqual([200, 'keep-alive']);
    }
  }, 20_000);

  test('reaches a client that reads nothing before it has sent all, and closes its connection', async () => {
    const agent = new Agent({ keepAlive: true, maxSockets: 1 });
    for (let round = 0; round < 5; round += 1) {
      const status = await new Promise((resolve, reject) => {
        const sent = request(`${hub.url}/api/v1/races`, { method: 'POST', agent }, (answer) => {
          answer.resume().on('end', () => resolve([answer.statusCode, answer.headers.connection]));
        });
        sent.on('error', reject);
        sent.setHeader('content-type', 'application/json');
        sent.setHeader('authorization', `Bearer ${ORGANISER_KEY}`);
        sent.end(big);
      });
      expect(status).toEqual([413, 'close']);
    }
    agent.destroy();
  });
});

test('a file of the built app that is gone fails its own request, is told, and the hub goes on', async () => {
  const root = mkdtempSync(joinPath(tmpdir(), 'kerbside-built-'));
  mkdirSync(joinPath(root, 'data'));
  cpSync(joinPath(ROOT, 'build'), joinPath(root, 'build'), { recursive: true });
  cpSync(joinPath(ROOT, 'package.json'), joinPath(root, 'package.json'));
  symlinkSync(joinPath(ROOT, 'node_modules'), joinPath(root, 'node_modules'));
  const port = await freePort();
  const url = `http://127.0.0.1:${port}`;
  const hub = spawn(process.execPath, ['build/cli/serve.js'], {
    cwd: root,
    stdio: ['ignore', 'ignore', 'pipe'],
    env: { ...process.env, PORT: String(port), HOST: '127.0.0.1', KERBSIDE_DATA: 'data' },
  });
  let told = '';
  hub.stderr.on('data', (chunk: Buffer) => (told += chunk.toString()));
  try {
    const up = () =>
      fetch(`${url}/api/v1/health`).then(
        (answer) => answer.ok,
        () => false,
      );
    for (let tries = 0; tries < 200 && !(await up()); tries += 1) await sleep(50);
    const client = joinPath(root, 'build/client/_app/immutable');
    const files = readdirSync(client, { recursive: true, encoding: 'utf8' }).filter((name) => name.endsWith('.js'));
    const [first] = files;
    expect(first).toBeDefined();
    const address = `${url}/_app/immutable/${first ?? ''}`;
    expect((await fetch(address)).status).toBe(200);
    rmSync(joinPath(root, 'build/client'), { recursive: true });
    for (let round = 0; round < 3; round += 1) {
      await expect(fetch(address).then((answer) => answer.text())).rejects.toThrow();
      expect(await up()).toBe(true);
    }
    // Pages whose code on the hub is gone.
    rmSync(joinPath(root, 'build/server'), { recursive: true });
    for (const path of ['/', '/join', '/races']) await fetch(`${url}${path}`).then((answer) => answer.text());
    expect(await up()).toBe(true);
    expect(told).toContain(`GET /_app/immutable/${first ?? ''} failed:`);
    expect(told).toContain('ENOENT');
    expect(hub.exitCode).toBeNull();
  } finally {
    const gone = new Promise((resolve) => hub.once('exit', resolve));
    if (hub.exitCode === null && hub.kill('SIGKILL')) await gone;
    rmSync(root, { recursive: true });
  }
}, 30_000);

test('an older Node, called by hand, is told which one to use: it would die in the database driver', async () => {
  const older = "Object.defineProperty(process, 'versions', { value: { ...process.versions, node: '20.20.2' } })";
  const hub = spawn(process.execPath, ['--import', `data:text/javascript,${encodeURIComponent(older)}`, SERVE]);
  let said = '';
  hub.stderr.on('data', (chunk) => (said += String(chunk)));
  const code = await new Promise((resolve) => hub.once('close', resolve));
  expect([code, said]).toEqual([
    1,
    'Kerbside could not start. It runs on the Node 24 installed with it, this is 20.20.2: use "npm run serve".\n',
  ]);
});
