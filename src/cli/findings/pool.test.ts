import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { catchOutput } from '../../../tests/helpers/catch-output.ts';
import { figureDifferences } from '../../../tests/helpers/findings/figure-differences.ts';
import { pooledRuns } from '../../../tests/helpers/findings/pooled-cases.ts';
import { command } from './pool.ts';

const caseFile = (name: string): string =>
  new URL(`../../../tests/reference/cases-pooled/${name}`, import.meta.url).pathname;

let folder: string;
beforeAll(() => (folder = mkdtempSync(join(tmpdir(), 'kerbside-pool-'))));
afterAll(() => rmSync(folder, { recursive: true }));

function file(name: string, content: string): string {
  const path = join(folder, name);
  writeFileSync(path, content);
  return path;
}

async function run(...args: string[]) {
  const { said, io } = catchOutput();
  return { code: await command.run(args, io), ...said };
}

/** A run that must fail: nothing on standard output, exit code 2. */
async function faultsOf(...args: string[]): Promise<string[]> {
  const { code, out, err } = await run(...args);
  expect([code, out]).toEqual([2, '']);
  return err.trimEnd().split('\n');
}

const runs = pooledRuns();

// Computed in R apart from this program, by pooling.R beside the cases; see tests/reference/README.md.
describe('pooled figures of every reference case', () => {
  it('finds all of them', () => {
    expect(runs.length).toBeGreaterThanOrEqual(15);
  });

  it.each(runs.map((pooled) => [pooled.name, pooled] as const))('%s', async (_, { args, expected }) => {
    const { code, out, err } = await run(...args, '--json');
    // Nothing but which columns of the results were taken.
    expect([code, err.replace(/^.*: columns: .*\n/gm, '')]).toEqual([0, '']);
    expect(figureDifferences(expected, JSON.parse(out))).toEqual([]);
  });
});

describe('kerbside pool as text', () => {
  it('prints one line a race, a forest plot for each effect, and no word of a program', async () => {
    const files = ['alder-ten', 'birch-half', 'cedar-mile'].map((name) => caseFile(`six/${name}.json`));
    const { code, out } = await run(...files);
    expect(code).toBe(0);
    expect(out).toMatch(/^ +alder-ten +58 +45 +77\.6/m);
    expect(out).toContain('All together');
    expect(out).toContain('◆');
    expect(out).not.toMatch(/undefined|NaN|null\b.*null\b.*null\b.*null\b/);
    for (const line of out.split('\n')) expect(line.length).toBeLessThanOrEqual(100);
  });

  it.each([40, 60, 132])('keeps to %i columns', async (width) => {
    for (const args of [['--races', caseFile('season/list.csv')], [caseFile('six/alder-ten.json')]]) {
      const { said, io } = catchOutput();
      expect(await command.run(args, { ...io, width })).toBe(0);
      const widest = Math.max(...said.out.split('\n').map((line) => line.length));
      expect(widest).toBeLessThanOrEqual(width);
      expect(said.out).toContain('■');
    }
  });

  it('follows people by their codes', async () => {
    const { out } = await run('--races', caseFile('season/list.csv'));
    expect(out).toContain('People over races');
    expect(out).toMatch(/^ +p2 +\d/m);
  });

  it('says what one race can tell', async () => {
    const { out } = await run(caseFile('six/alder-ten.json'));
    expect(out).toMatch(/This is one race as it stands: pooling needs two/);
  });
});

describe('kerbside pool, faults', () => {
  const alder = caseFile('six/alder-ten.json');

  it('names the file and the place of what is missing or cannot be', async () => {
    const findings = JSON.parse(readFileSync(alder, 'utf8')) as {
      shares: { classes: { rearfoot: { count?: number } } }[];
      shift: { early: string; paired: number };
    };
    const changed = (name: string, change: (copy: typeof findings) => void): string => {
      const copy = structuredClone(findings);
      change(copy);
      return file(name, JSON.stringify(copy));
    };
    const missing = changed('missing.json', (copy) => delete copy.shares[0]!.classes.rearfoot.count);
    expect(await faultsOf(missing, alder)).toEqual([`${missing}: shares[0].classes.rearfoot.count is missing`]);
    const stranger = changed('stranger.json', (copy) => (copy.shift.early = 'Nowhere'));
    expect(await faultsOf(stranger)).toEqual([
      `${stranger}: shift.early is "Nowhere", which is no checkpoint in shares`,
    ]);
    const few = changed('few.json', (copy) => (copy.shift.paired = 0));
    expect(await faultsOf(few)).toEqual([`${few}: shift.rearfoot.gained and lost are 1 and 0, more than paired (0)`]);
    const half = changed('half.json', (copy) => (copy.shift.paired = 1.5));
    expect(await faultsOf(half)).toEqual([`${half}: shift.paired: expected a whole number, found 1.5`]);
    const text = file('text.json', 'bib,finish\n');
    expect(await faultsOf(text)).toEqual([`${text}: is not JSON; expected what kerbside analyse --json prints`]);
    const other = file('other.json', '{"format":"another"}');
    expect(await faultsOf(other)).toEqual([`${other}: shares is missing`, `${other}: shift is missing`]);
  });

  it('names findings of another version, and reads those of this one', async () => {
    const findings = JSON.parse(readFileSync(alder, 'utf8')) as object;
    const of = (contract: number) =>
      file(`contract-${contract}.json`, JSON.stringify({ about: { program: 'kerbside', contract }, ...findings }));
    expect((await run(of(1), '--json')).code).toBe(0);
    expect(await faultsOf(of(2))).toEqual([
      `${join(folder, 'contract-2.json')}: is of another version of the program: its figures follow analysis contract 2, expected 1`,
    ]);
  });

  it('says when a race may be there twice, by its counts or by what its file says of itself; both stay in', async () => {
    const twice = await run(`spring=${alder}`, alder);
    expect([twice.code, twice.err]).toEqual([0, '']);
    expect(twice.out.replaceAll(/\s+/g, ' ')).toContain(
      'Perhaps one race twice, as every count is the same: spring and alder-ten.',
    );
    const about = { contract: 1, race: { name: 'Alder Ten', date: '2031-05-04' } };
    const findings = JSON.parse(readFileSync(alder, 'utf8')) as { shift: { paired: number } };
    const later = structuredClone(findings);
    later.shift.paired += 1;
    const files = [findings, later].map((one, i) => file(`copy-${i}.json`, JSON.stringify({ about, ...one })));
    const { out } = await run(...files, '--json');
    const { notes, races } = JSON.parse(out) as { notes: string[]; races: object[] };
    expect(notes).toContain('Perhaps one race twice, as name and date are the same: copy-0 and copy-1.');
    expect(races).toHaveLength(2);
    expect(Object.keys(races[0]!)).not.toContain('identity');
  });

  it('says one name for two races, no race, both forms at once', async () => {
    expect(await faultsOf(alder, alder)).toEqual([
      'kerbside pool: "alder-ten" names two races; name one of them otherwise with NAME=FINDINGS.json',
    ]);
    expect(await faultsOf()).toEqual(['kerbside pool: name findings files, or a list of races with --races']);
    expect((await faultsOf(alder, '--races', 'list.csv')).join()).toMatch(/not both/);
    expect((await run(`spring=${alder}`, alder)).code).toBe(0);
  });

  it('leaves an empty race among 500 out by name; one of another program version is named by what it lacks', async () => {
    const at = (classified: number, rearfoot: number) => [
      { checkpoint: 'Ford', km: 5, classified, classes: { rearfoot: { count: rearfoot } } },
    ];
    const whole = file('whole.json', JSON.stringify({ shares: at(60, 45), shift: null }));
    const empty = file('empty.json', JSON.stringify({ shares: at(0, 0), shift: null }));
    const races = Array.from({ length: 499 }, (_, i) => `race ${i + 1}=${whole}`);
    const { code, out } = await run(...races, empty, '--json');
    expect(code).toBe(0);
    const { share, notes } = JSON.parse(out) as { share: { races: number; leftOut: number }; notes: string[] };
    expect([share.races, share.leftOut]).toEqual([499, 1]);
    expect(notes.some((note) => note.includes('empty') && note.includes('nobody was classified'))).toBe(true);
    const older = file('older.json', JSON.stringify({ shares: [{ checkpoint: 'Ford', km: 5, classified: 60 }] }));
    expect((await faultsOf(whole, older)).join()).toMatch(/older\.json: .*missing/);
  });

  it('names what is wrong with a list and its tables', async () => {
    const march = caseFile('season/march-ten.csv');
    const twice = file('twice.csv', `race,sightings\nA,${march}\nA,${march}\n`);
    expect(await faultsOf('--races', twice)).toEqual([
      `${twice}: row 3, column race: "A" is in row 2 already: a name stands for one race`,
    ]);
    const nowhere = file('nowhere.csv', `race,sightings,early\nA,${march},Nowhere\nB,missing.csv,\n`);
    const said = await faultsOf('--races', nowhere);
    expect(said[0]).toMatch(/nowhere\.csv: race A, early: there is no sighting at "Nowhere"/);
    expect(said[1]).toBe(`${join(folder, 'missing.csv')}: there is no such file`);
    const codes = file('codes.csv', 'bib,finish,Runner code\n1,50:00,p1\n2,51:00,p1\n');
    const coded = file('coded.csv', `race,sightings,results\nA,${march},${codes}\n`);
    expect(await faultsOf('--races', coded)).toEqual([
      `${codes}: row 3, column Runner code: "p1" is in row 2 already: a code stands for one person`,
    ]);
    const bibs = readFileSync(march, 'utf8')
      .split('\n')
      .slice(1)
      .map((line) => line.split(',')[4] ?? '');
    const letters = [...new Set(bibs.filter((bib) => /^\d+$/.test(bib)))].map((bib) => `A${bib},50:00`);
    const lettered = file('letters.csv', `bib,finish\n${letters.join('\n')}\n`);
    const asking = file('asking.csv', `race,sightings,results\nA,${march},${lettered}\n`);
    expect((await faultsOf('--races', asking)).join()).toContain('Say so with --bibs without-letters');
    expect((await run('--races', asking, '--bibs', 'without-letters')).code).toBe(0);
  });
});
