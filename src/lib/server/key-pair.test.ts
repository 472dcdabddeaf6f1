import { mkdtempSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { createServer } from 'node:https';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { hubCertificate } from './authority.ts';
import { isPair } from './key-pair.ts';

let folder = '';
const tls = (name: string) => join(folder, 'tls', name);
const now = Date.parse('2026-10-04T08:00:00.000Z');
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'kerbside-tls-'));
});
afterEach(() => rmSync(folder, { recursive: true }));

test('key and certificate are one file, used again as long as they fit', async () => {
  const first = await hubCertificate(folder, ['192.168.1.2'], now);
  expect(readdirSync(join(folder, 'tls')).sort()).toEqual(['authority.crt', 'authority.pem', 'hub.crt', 'hub.pem']);
  expect(statSync(tls('hub.pem')).mode & 0o777).toBe(0o600);
  expect(await hubCertificate(folder, ['192.168.1.2'], now)).toEqual(first);
  expect(isPair(first)).toBe(true);
  expect(() => createServer(first)).not.toThrow();
});

test('a key that does not belong to its certificate, or half a file, gives a new pair and keeps the authority', async () => {
  const first = await hubCertificate(folder, [], now);
  const whole = readFileSync(tls('hub.pem'), 'utf8');
  const otherKey = readFileSync(tls('authority.pem'), 'utf8').split('-----BEGIN CERTIFICATE')[0] ?? '';
  for (const harmed of [
    otherKey + whole.slice(whole.indexOf('-----BEGIN CERT')),
    whole.slice(0, whole.length / 2),
    '',
  ]) {
    writeFileSync(tls('hub.pem'), harmed);
    const again = await hubCertificate(folder, [], now);
    expect([isPair(again), again.fingerprint]).toEqual([true, first.fingerprint]);
    expect(() => createServer(again)).not.toThrow();
  }
});

test('the two files of an earlier version go on being used', async () => {
  const first = await hubCertificate(folder, [], now);
  for (const name of ['authority', 'hub']) {
    const text = readFileSync(tls(`${name}.pem`), 'utf8');
    const cut = text.indexOf('-----BEGIN CERT');
    writeFileSync(tls(`${name}.key`), text.slice(0, cut));
    writeFileSync(tls(`${name}.crt`), text.slice(cut));
    rmSync(tls(`${name}.pem`));
  }
  expect(await hubCertificate(folder, [], now)).toEqual(first);
});
