import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { catchOutput } from '../../../tests/helpers/catch-output.ts';
import type { Findings } from '../../lib/findings/findings.ts';
import { command } from './analyse.ts';

const CASES = new URL('../../../tests/reference/cases/', import.meta.url);
const caseFile = (name: string) => new URL(name, CASES).pathname;
const SMALL = ['--sightings', caseFile('small/sightings.csv'), '--results', caseFile('small/results.csv')];

let folder: string;
beforeAll(() => (folder = mkdtempSync(join(tmpdir(), 'kerbside-analyse-'))));
afterAll(() => rmSync(folder, { recursive: true }));

function file(name: string, content: string | Uint8Array): string {
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
  expect(err).not.toMatch(/\n {4}at /);
  // Which columns of the results were taken is said whatever else is wrong.
  return err
    .trimEnd()
    .split('\n')
    .filter((line) => !line.includes(': columns: '));
}

const HEADINGS = 'record_id,race,checkpoint,km,bib,left,right,observer,method,observed_at,note\n';
const row = (id: number, rest = 'Weir,9.5,7,rearfoot,midfoot,A,live,2031-09-01T06:21:44+01:00,') =>
  `r${id},Mill Ten,${rest}\n`;

const CORRECTED = new URL('../../../tests/reference/cases-corrected/both/', import.meta.url);
const BOTH = ['--sightings', new URL('sightings.csv', CORRECTED).pathname];

describe('kerbside analyse --practice', () => {
  it('prints corrected figures as JSON and as text', async () => {
    const practice = ['--practice', new URL('practice.csv', CORRECTED).pathname];
    const { out } = await run(...BOTH, ...practice, '--json');
    expect((JSON.parse(out) as Findings).corrected?.practice?.items).toBe(110);
    const text = (await run(...BOTH, ...practice)).out;
    expect(text).toContain("Corrected for observers' errors\n======");
    expect(text).toMatch(/observers\s+read\s+wrongly:\s+\d+\s+in\s+100,\s+mostly\s+rearfoot\s+as\s+asymmetric/);
    expect(text).toMatch(/rearfoot +84\.3\u00a0% +88\.0\u00a0% +82\.7 to 91\.8/);
    expect(text).not.toMatch(/undefined|NaN/);
  });

  it('names what is wrong with the practice set, and prints nothing', async () => {
    const columns = 'item,observer,key_left,key_right,left,right\n';
    const twoKeys = file(
      'two-keys.csv',
      `${columns}c1,A,rearfoot,rearfoot,rearfoot,rearfoot\nc1,B,midfoot,midfoot,midfoot,midfoot\n`,
    );
    const said = await faultsOf(...BOTH, '--practice', twoKeys);
    expect(said).toEqual([
      `${twoKeys}: row 3, column item: "c1" has another key (rearfoot, rearfoot) in row 2: an item has one key`,
    ]);
    expect(await faultsOf(...BOTH, '--practice', join(folder, 'nowhere.csv'))).toEqual([
      `${join(folder, 'nowhere.csv')}: there is no such file`,
    ]);
  });
});

describe('kerbside analyse', () => {
  it('prints one JSON object and nothing else', async () => {
    const { code, out, err } = await run(...SMALL, '--json');
    expect(code).toBe(0);
    // Which columns were taken is always said; standard output stays one object.
    expect(err).toMatch(/^[^\n]*results\.csv: columns: bib from "bib", finish from "finish"[^\n]*\n$/);
    const findings = JSON.parse(out) as Findings;
    expect(findings.shares[0]!.classes.rearfoot.count).toBe(15);
    expect(Object.keys(findings)).toEqual([
      ...['inputs', 'shares', 'shift', 'finish', 'agreement', 'coverage', 'corrected'],
      ...['gait', 'gaitChange', 'liveAgainstClip', 'notes'],
    ]);
  });

  it('counts runners who were let pass apart and looks for no class of theirs', async () => {
    const looked = [row(1), row(2, 'Weir,9.5,8,unseen,unseen,A,live,2031-09-01T06:22:44+01:00,')];
    const pass = (id: number, bib: string) =>
      `r${id},Mill Ten,Weir,9.5,${bib},unseen,unseen,A,live,2031-09-01T06:2${id}:44+01:00,`;
    const all = async (marks: [string, string, string]) => {
      const rows = [
        ...looked.map((text) => text.replace('\n', ',\n')),
        ...marks.map((mark, i) => `${pass(i + 3, ['', '9', '7'][i]!)},${mark}\n`),
      ];
      const path = file('passed.csv', HEADINGS.replace('\n', ',passed\n') + rows.join(''));
      return JSON.parse((await run('--sightings', path, '--json')).out) as Findings;
    };
    const { inputs, shares, notes } = await all(['true', 'true', 'true']);
    expect(inputs.excluded).toEqual({ noBib: 0, repeats: 0, sameRecord: 0, passed: 3 });
    expect([inputs.sightings, inputs.runners]).toEqual([5, 3]);
    // 7 is asymmetric though let pass later; 8 was looked at and not seen; 9 was never looked at.
    expect(shares[0]).toMatchObject({ classified: 1, unclassified: 1 });
    expect(notes.join(' ')).toContain('Let pass by the sampling rule and counted, not looked at: 3 sightings');
    const asBefore = await all(['', '', '']);
    expect(asBefore.inputs.excluded).toEqual({ noBib: 1, repeats: 1, sameRecord: 0, passed: 0 });
    expect(asBefore.shares[0]).toMatchObject({ classified: 0, unclassified: 3 });
  });

  it('prints the same findings for a person', async () => {
    const { out } = await run(...SMALL, '--level', '0.9');
    for (const title of ['Shares', 'Shift', 'Finish time', 'Agreement', 'Coverage', 'Cautions']) {
      expect(out).toContain(`\n${title}\n${'='.repeat(title.length)}\n`);
    }
    expect(out).toContain('90\u00a0% interval');
    expect(out).toMatch(/rearfoot +15 +30 +50\.0/);
    expect(out).toContain('McNemar');
    expect(out).not.toMatch(/undefined|NaN/);
    for (const line of out.split('\n')) expect(line.length).toBeLessThan(140);
  });

  it('takes the options of the figures', async () => {
    const { out } = await run(
      ...SMALL,
      '--early',
      'Weir Path',
      '--late',
      'Ford Lane',
      '--single-foot',
      'use',
      '--json',
    );
    const { shift, finish } = JSON.parse(out) as Findings;
    expect([shift!.early, shift!.late, finish!.by]).toEqual(['Weir Path', 'Ford Lane', 'Weir Path']);
  });

  it('takes marks beside sightings, or marks alone', async () => {
    const gaitCase = (name: string) => new URL(`../../../tests/reference/cases-gait/${name}`, import.meta.url).pathname;
    const files = ['--sightings', gaitCase('change/sightings.csv'), '--marks', gaitCase('change/marks.csv')];
    const both = await run(...files, '--json');
    expect(both.code).toBe(0);
    const { gait, gaitChange, shares } = JSON.parse(both.out) as Findings;
    expect([gait!.length, shares.length, gaitChange!.early]).toEqual([3, 3, shares[0]!.checkpoint]);
    const alone = JSON.parse((await run(...files.slice(2), '--json')).out) as Findings;
    expect(Object.keys(alone)).toEqual(['gait', 'gaitChange', 'liveAgainstClip', 'notes']);
    for (const args of [files, files.slice(2)]) {
      const { out } = await run(...args);
      expect(out).toContain('Gait\n====');
      expect(out).not.toMatch(/undefined|NaN|null \(/);
    }
  });

  it('says where marks and sightings part', async () => {
    const gaitCase = (name: string) => new URL(`../../../tests/reference/cases-gait/${name}`, import.meta.url).pathname;
    const marks = readFileSync(gaitCase('one/marks.csv'), 'utf8').replaceAll(',246,', ',247,');
    const path = file('marks.csv', marks);
    const faults = await faultsOf('--sightings', gaitCase('one/sightings.csv'), '--marks', path);
    expect(faults[0]).toBe(`${path}: row 2, column bib: "247" is not the "246" of its sighting`);
  });

  it('reads results as the import of the app does and says what it converted', async () => {
    const results = file(
      'results.csv',
      'Mill Ten 2031;;\nDorsal;Zeit laut Chip;Age\n1;1:30:00,5;24\n2;DNF;30\n3;95:10,25;41,5\n',
    );
    const sightings = caseFile('small/sightings.csv');
    const chosen = await run(
      '--sightings',
      sightings,
      '--results',
      results,
      '--column',
      'finish=Zeit laut Chip',
      '--json',
    );
    expect(chosen.code).toBe(0);
    expect((JSON.parse(chosen.out) as Findings).coverage!.finishers).toBe(2);
    expect(chosen.err).toContain(`${results}: `);
    expect(chosen.err).toContain('DNF');
    expect(await faultsOf('--sightings', sightings, '--results', results, '--column', 'finish=Chip')).toEqual([
      expect.stringContaining(`${results}: column finish: "Chip" is not a heading of the file`),
    ]);
  });

  it.each([
    [['--frob'], "Unknown option '--frob'"],
    [['file.csv'], 'Unexpected argument'],
    [[], 'name the sightings file with --sightings'],
    [[...SMALL, '--level', '95'], '--level: "95" is not a number between 0 and 1, such as 0.95'],
    [[...SMALL, '--level', ''], '--level: "" is not a number between 0 and 1'],
    [[...SMALL, '--single-foot', 'maybe'], '--single-foot: "maybe" is not one of exclude, use'],
    [[...SMALL, '--column', 'finish'], '--column: "finish" is not FIELD=HEADING'],
    [[...SMALL, '--column', 'shoe=Brand'], '--column: "shoe=Brand" is not FIELD=HEADING'],
    [
      [...SMALL, '--early', 'Ford'],
      '--early: there is no sighting at "Ford"; the checkpoints are Ford Lane, Weir Path',
    ],
    [[...SMALL, '--early', 'Weir Path'], '--early and --late are both "Weir Path"; expected two checkpoints'],
  ])('refuses %j', async (args, text) => {
    expect(await faultsOf(...args)).toEqual([expect.stringContaining(`kerbside analyse: ${text}`)]);
  });

  it('names file, row and column of what is wrong, of both files', async () => {
    const sightings = file(
      'faults.csv',
      HEADINGS + row(1) + row(2).replace('rearfoot', 'toe') + row(3).replace(',9.5,', ',8,'),
    );
    const results = file('twice.csv', 'bib,finish\n7,1:00:00\n7,1:01:00\n8,-5\n');
    const faults = await faultsOf('--sightings', sightings, '--results', results);
    expect(faults).toEqual([
      `${sightings}: row 3, column left: "toe" is not one of rearfoot, midfoot, forefoot, unseen`,
      `${sightings}: row 4, column km: "8" is not the 9.5 km that checkpoint "Weir" has in row 2`,
      expect.stringContaining(`${results}: row 3, column bib: "7" is in row 2 already`),
      expect.stringContaining(`${results}: row 4, column finish: "-5" is not a finish time`),
    ]);
  });

  it('says twenty faults and counts the others', async () => {
    const rows = Array.from({ length: 30 }, (_, i) => row(i).replace('live', 'film')).join('');
    const faults = await faultsOf('--sightings', file('many.csv', HEADINGS + rows));
    expect(faults).toHaveLength(21);
    expect(faults[20]).toMatch(/: and 10 more faults$/);
  });

  it('says what is no table', async () => {
    const not = async (path: string) => (await faultsOf('--sightings', path)).join('\n');
    expect(await not(join(folder, 'nowhere.csv'))).toContain('there is no such file');
    expect(await not(folder)).toContain('is a directory');
    expect(await not(file('empty.csv', ''))).toContain('the file is empty');
    expect(await not(file('binary.csv', new Uint8Array(2048)))).toContain('is not text');
    expect(await not(file('short.csv', HEADINGS.replace('left,', '') + row(1)))).toContain(
      'row 1, column left: is missing',
    );
    const broken = new TextEncoder().encode(HEADINGS + row(1).replace('A,live', '\u0001,live'));
    broken[broken.indexOf(1)] = 0xe9;
    expect(await not(file('latin.csv', broken))).toContain('row 2, column observer: is not UTF-8');
    for (const path of [folder, join(folder, 'nowhere.csv'), file('none.csv', '')]) {
      expect((await faultsOf('--sightings', caseFile('small/sightings.csv'), '--results', path))[0]).toContain(path);
    }
  });

  it('shows how far it is with a large file, on a terminal only', async () => {
    const long = readFileSync(caseFile('small/sightings.csv'), 'utf8');
    const filler = Array.from(
      { length: 14_000 },
      (_, i) => long.split('\n')[1]!.replace('e01', `x${i}`).trim() + 'x'.repeat(300),
    );
    const path = file('long.csv', `${long.trimEnd()}\r\n${filler.join('\r\n')}\r\n`);
    let err = '';
    const io = { out: () => {}, err: (text: string) => void (err += text), errIsTerminal: true };
    expect(await command.run(['--sightings', path, '--json'], io)).toBe(0);
    expect(err).toMatch(/Reading .*long\.csv: \d+ %/);
    expect((await run('--sightings', path, '--json')).err).toBe('');
  });
});
