import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { catchOutput } from '../../../tests/helpers/catch-output.ts';
import { command } from './report.ts';

const CASES = new URL('../../../tests/reference/cases/', import.meta.url);
const caseFile = (name: string) => new URL(name, CASES).pathname;
const RACE = ['--sightings', caseFile('two-points/sightings.csv'), '--results', caseFile('two-points/results.csv')];

let folder: string;
beforeAll(() => (folder = mkdtempSync(join(tmpdir(), 'kerbside-report-'))));
afterAll(() => rmSync(folder, { recursive: true }));

async function report(name: string, ...args: string[]): Promise<string> {
  const { said, io } = catchOutput();
  const out = join(folder, name);
  expect([await command.run([...RACE, '--out', out, ...args], io), said.out]).toEqual([0, '']);
  return readFileSync(out, 'utf8');
}

/** Nothing that a browser would fetch, and nothing that a reader would stumble over. */
function expectSelfContained(page: string): void {
  expect(page).toMatch(/^<!doctype html>/);
  expect(page).not.toMatch(/<script|<link|<img|src=|url\(|https?:\/\//);
  expect(page).not.toMatch(/undefined|NaN|\bnull\b|cochranQ|oddsRatio/);
}

describe('kerbside report', () => {
  it('writes methods, results and every item of the guidelines, in one file', async () => {
    const page = await report('report.html');
    expectSelfContained(page);
    for (const title of ['In short', 'Methods', 'Shares', 'Shift', 'Finish time', 'Agreement', 'Coverage']) {
      expect(page).toContain(`<h2>${title}</h2>`);
    }
    // STROBE has 22 items, GRRAS 15.
    const [, strobe = '', gras = ''] = page.split(/<h2>(?:STROBE|GRRAS)/);
    expect(strobe.match(/<tr><th scope="row">/g)).toHaveLength(22);
    expect(gras.match(/<tr><th scope="row">/g)).toHaveLength(15);
    expect(page).toContain('class="text blank"');
    expect(page).toMatch(/<svg/);
    expect(page).toContain('291 runners');
  });

  it('writes a club page and a sheet for each runner', async () => {
    const page = await report('club.html', '--club', '--runners', '655, 999999');
    expectSelfContained(page);
    expect(page.match(/class="sheet"/g)).toHaveLength(2);
    expect(page).toContain('Runner 655');
    expect(page).toMatch(/Finish 2:29:50: \d+ of [\d,]+ finishers were faster/);
    expect(page).toContain('not sighted');
    expect(page).not.toContain('<h2>Methods</h2>');
  });

  it('replaces its own reports only, and takes no text of a table for markup', async () => {
    const out = join(folder, 'notes.html');
    writeFileSync(out, 'my own notes');
    const { said, io } = catchOutput();
    expect(await command.run([...RACE, '--out', out], io)).toBe(2);
    expect(said.err).toContain('was not written by this command');
    const page = await report('sheet.html', '--runners', '<b>7</b>');
    expect(page).not.toContain('<b>7');
    await report('sheet.html', '--club');
  });

  it.each([
    [['--sightings', 'x.csv'], 'say with --out'],
    [['--out', 'x.html'], 'name the sightings'],
    [[...RACE, '--out', 'x.html', '--level', '7'], '--level: "7"'],
  ])('refuses %j', async (args, text) => {
    const { said, io } = catchOutput();
    expect(await command.run(args, io)).toBe(2);
    expect(said.err).toContain(`kerbside report: ${text}`);
  });
});
