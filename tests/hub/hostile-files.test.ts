// The command line as it is built, with files that have no end, no room or the wrong content.
import { spawnSync } from 'node:child_process';
import { existsSync, mkdtempSync, readdirSync, rmSync, symlinkSync, truncateSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import process from 'node:process';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { writeHandoff } from '../../src/lib/tables/handoff-file.ts';
import { inventedRace, sighting } from '../helpers/hub/hub-client.ts';

const LAUNCH = fileURLToPath(new URL('../../src/cli/launch.mjs', import.meta.url));
const SIGHTINGS = fileURLToPath(new URL('../reference/cases/small/sightings.csv', import.meta.url));
const folder = mkdtempSync(join(tmpdir(), 'kerbside-files-'));
const path = (name: string) => join(folder, name);

/** Runs a line of the shell in which `$K` is the command line. */
function shell(line: string) {
  const env = { ...process.env, K: `${process.execPath} ${LAUNCH}` };
  const { status, stdout, stderr } = spawnSync('bash', ['-c', line], {
    cwd: folder,
    env,
    encoding: 'utf8',
    timeout: 20_000,
  });
  return { status, stdout, stderr, lines: stderr.split('\n').length - 1 };
}

beforeAll(() => {
  const race = inventedRace();
  writeFileSync(path('in.ndjson'), [...writeHandoff(race, [sighting(race.id, 'tab-1', 1)])].join(''));
  writeFileSync(path('sparse.ndjson'), 'no hand-off file\n');
  truncateSync(path('sparse.ndjson'), 10 * 1024 ** 3);
  symlinkSync(SIGHTINGS, path('sightings.csv'));
  // Built here, so that no time limit below counts the build.
  expect(spawnSync(process.execPath, [LAUNCH, '--help'], { encoding: 'utf8' }).stderr).toBe('');
}, 120_000);

afterAll(() => rmSync(folder, { recursive: true }));

describe.skipIf(!existsSync('/dev/full'))('files without an end, and outputs without room', () => {
  test.each([
    ['$K merge sparse.ndjson --out out', /^sparse\.ndjson: line 1: no hand-off file/],
    ['$K merge /dev/zero --out out', /^\/dev\/zero: line 1: this line is too long/],
    ['cat in.ndjson /dev/zero | $K merge /dev/stdin --out out', /^\/dev\/stdin: line 3: this line is too long/],
    ['$K analyse --sightings sparse.ndjson', /^sparse\.ndjson: the file is not text/],
    ['$K analyse --sightings /dev/zero', /^\/dev\/zero: the file is not text/],
    ['$K analyse --sightings sightings.csv --results /dev/zero', /^\/dev\/zero: the file is no text/],
    ['$K check --sightings sightings.csv --startlist /dev/zero', /^\/dev\/zero: the file is no text/],
    ['$K merge in.ndjson --out /dev/full', /^\/dev\/full: cannot be written: there is no space left/],
    ['$K analyse --sightings sightings.csv > /dev/full', /^kerbside: standard output was not written to its end/],
  ])('end %s with one line', (line, said) => {
    const { status, stderr, lines } = shell(line);
    expect([status, lines]).toEqual([2, 1]);
    expect(stderr).toMatch(said);
    expect(readdirSync(folder)).not.toContain('out');
  });

  test.each(['in.ndjson', 'sightings.csv'])('say how large %s may be, without reading it', (name) => {
    const much = `{ cat ${name}; yes "$(tail -n 1 ${name})" | head -n 20000; } > large-${name}`;
    expect(shell(`${much}; truncate --size 10G large-${name}`).status).toBe(0);
    const command = name.endsWith('.csv') ? 'analyse --sightings' : 'merge --out out';
    const { status, stderr, lines } = shell(`$K ${command} large-${name}`);
    expect([status, lines]).toEqual([2, 1]);
    expect(stderr).toMatch(/has 10737418240 bytes, more than a .* can have \(\d+\): is it another file/);
  });
});

test('a reader that goes away gets one line, not a stack', () => {
  // Far more than a pipe holds: the reader has gone long before all is written.
  const race = inventedRace();
  const many = Array.from({ length: 3000 }, (_, i) => sighting(race.id, 'tab-1', i + 1, { bib: String(90_000 + i) }));
  writeFileSync(path('many.ndjson'), [...writeHandoff(race, many)].join(''));
  writeFileSync(path('list.csv'), 'bib\n1\n');
  const command = '$K check many.ndjson --startlist list.csv --json';
  const whole = shell(`${command} | wc -c`);
  expect(Number(whole.stdout)).toBeGreaterThan(500_000);
  const { stdout, stderr, lines } = shell(`${command} | head -c 1; echo " \${PIPESTATUS[0]}"`);
  expect([stdout, lines]).toEqual(['{ 0\n', whole.lines + 1]);
  expect(stderr).toBe(`${whole.stderr}kerbside: standard output was not written to its end: its reader has gone\n`);
});

test('controls of a file never reach the terminal', () => {
  const race = { ...inventedRace(), ['evil\u001b[2J\u009b']: 1 };
  writeFileSync(path('evil.ndjson'), `{"format":"kerbside-records","version":1,"race":${JSON.stringify(race)}}\n`);
  writeFileSync(path('evil.csv'), 'record_id\u001b[31m,race\n\u0007,x\n');
  for (const line of [
    '$K merge evil.ndjson --out out',
    '$K analyse --sightings evil.csv',
    '$K nothing$(printf "\\033[1m")',
  ]) {
    const { status, stdout, stderr } = shell(line);
    expect(status).toBe(2);
    // eslint-disable-next-line no-control-regex -- what must not be there
    expect(stdout + stderr).not.toMatch(/[\u0000-\u0008\u000b-\u001f\u007f-\u009f]/);
  }
});
