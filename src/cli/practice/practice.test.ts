import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { catchOutput } from '../../../tests/helpers/catch-output.ts';
import type { PracticeScores } from '../../lib/practice/practice-scores.ts';
import type { Command } from '../command.ts';
import { command as scoreCommand } from './practice-score.ts';
import { command as setCommand } from './practice-set.ts';

let folder: string;
beforeAll(() => (folder = mkdtempSync(join(tmpdir(), 'kerbside-practice-'))));
afterAll(() => rmSync(folder, { recursive: true }));

function file(name: string, content: string | Uint8Array): string {
  const path = join(folder, name);
  writeFileSync(path, content);
  return path;
}

async function run(command: Command, ...args: string[]) {
  const { said, io } = catchOutput();
  return { code: await command.run(args, io), ...said };
}

/** A run that must fail: nothing on standard output, exit code 2. */
async function faultsOf(command: Command, ...args: string[]): Promise<string[]> {
  const { code, out, err } = await run(command, ...args);
  expect([code, out]).toEqual([2, '']);
  return err.trimEnd().split('\n');
}

const ANSWERS = 'session,observer,position,item,answer,response_ms\n';
const KEY = 'item,class,foot,rate,level\n';

describe('kerbside practice-set', () => {
  it('draws 120 balanced landings at level 4 unless told otherwise, for a person too', async () => {
    const { out } = await run(setCommand, '--seed', '7');
    expect(out.trimEnd().split('\n')).toHaveLength(121);
    for (const name of ['rearfoot', 'midfoot', 'forefoot']) expect(out.match(new RegExp(name, 'g'))).toHaveLength(40);
  });

  it('writes the key that practice-score reads', async () => {
    const key = join(folder, 'drawn-key.csv');
    await run(setCommand, '--seed', '7', '--items', '6', '--mix', '3,2,1', '--key', key);
    const rows = readFileSync(key, 'utf8').trimEnd().split('\r\n').slice(1);
    const answers = rows.map((row, i) => `s,A,${i},${row.split(',')[0]},${row.split(',')[1]},900`);
    const { out } = await run(
      scoreCommand,
      '--answers',
      file('a.csv', ANSWERS + answers.join('\n')),
      '--key',
      key,
      '--json',
    );
    expect((JSON.parse(out) as PracticeScores).scores[0]!.table).toEqual([
      [3, 0, 0],
      [0, 2, 0],
      [0, 0, 1],
    ]);
  });

  it.each([
    [[], 'name the seed with --seed'],
    [['--seed', 'seven'], '--seed: "seven" is not a whole number'],
    [['--seed', '1e30'], '--seed: "1e30" is not a whole number'],
    [['--seed', '1', '--items', '0'], '--items: "0" is not a whole number from 1 to'],
    [['--seed', '1', '--items', '2.5'], '--items: "2.5" is not a whole number from 1 to'],
    [['--seed', '1', '--level', '6'], '--level: "6" is not one of 1, 2, 3, 4, 5'],
    [['--seed', '1', '--mix', '1,2'], '--mix: "1,2" is not balanced, race or three weights'],
    [['--seed', '1', '--mix', '0,0,0'], '--mix: "0,0,0" is not'],
    [['--seed', '1', '--mix', '1,-1,2'], '--mix: "1,-1,2" is not'],
    [['--seed', '1', 'x'], 'Unexpected argument'],
  ])('refuses %j', async (args, text) => {
    expect(await faultsOf(setCommand, ...args)).toEqual([expect.stringContaining(`kerbside practice-set: ${text}`)]);
  });

  it('says a key that cannot be written', async () => {
    const faults = await faultsOf(setCommand, '--seed', '1', '--key', join(folder, 'no', 'key.csv'));
    expect(faults).toEqual([expect.stringContaining('cannot be written')]);
  });
});

describe('kerbside practice-score', () => {
  const key = () => file('key.csv', `${KEY}d001,rearfoot,near,1,4\nd002,midfoot,far,1,4\nd003,forefoot,,1,\n`);

  it('prints the scores for a person', async () => {
    const answers = file('few.csv', `${ANSWERS}s,A,1,d001,rearfoot,900\ns,A,2,d002,unseen,1200\n`);
    const { code, out } = await run(scoreCommand, '--answers', answers, '--key', key());
    expect(code).toBe(0);
    expect(out).toContain('A, session s (drawn)');
    expect(out).toContain('cannot tell');
    expect(out).not.toMatch(/undefined|NaN|null,/);
  });

  it.each([40, 60, 80])('keeps sets and scores to a terminal of %i columns', async (width) => {
    const { said, io } = catchOutput();
    const key = file(
      'narrow.csv',
      `${ANSWERS.trimEnd()},class,foot,rate,level\ns,A,1,d1,rearfoot,900,midfoot,near,1,4\n`,
    );
    await setCommand.run(['--seed', '7', '--items', '12'], { ...io, width });
    await scoreCommand.run(['--answers', key, '--key', key], { ...io, width });
    expect(said.out).toContain('Pass mark');
    for (const line of said.out.split('\n')) expect(line.length, line).toBeLessThanOrEqual(width);
  });

  it('takes one file with all columns, with several sessions and sets', async () => {
    const rows = [
      'session,observer,set,position,item,class,answer,foot,rate,level,response_ms',
      's1,A,7,1,d001,rearfoot,rearfoot,near,1,4,900',
      's1,A,7,2,d002,midfoot,rearfoot,far,1,4,900',
      's2,A,8,1,d001,forefoot,forefoot,near,1,4,900',
    ];
    const both = file('practice.csv', rows.join('\r\n'));
    const { out } = await run(scoreCommand, '--answers', both, '--key', both, '--json');
    const { inputs, scores } = JSON.parse(out) as PracticeScores;
    expect(inputs.items).toBe(3);
    expect(scores.map(({ session, shown, missing }) => [session, shown, missing])).toEqual([
      ['s1', 2, 0],
      ['s2', 1, 0],
    ]);
    const other = file('practice-2.csv', `${rows.join('\n')}\ns3,A,8,1,d001,rearfoot,forefoot,near,1,4,900\n`);
    expect(await faultsOf(scoreCommand, '--answers', other, '--key', other)).toEqual([
      `${other}: row 5, column item: "d001 of set 8" has another class, foot, rate or level in row 4`,
    ]);
  });

  it('scores a session in which nothing was seen', async () => {
    const answers = file('blind.csv', `${ANSWERS}s,A,1,d001,unseen,900\n`);
    const { out } = await run(scoreCommand, '--answers', answers, '--key', key(), '--json');
    const [score] = (JSON.parse(out) as PracticeScores).scores;
    expect(score!.sequential).toEqual({ decision: 'open', at: null, logRatio: 0 });
    expect(score!.agreement).toEqual({ count: 0, n: 0, share: null, low: null, high: null });
    expect(score!.notes[0]).toContain('30 classed answers');
  });

  it('names file, row and column of what is wrong, of both files', async () => {
    const answers = file('bad-a.csv', `${ANSWERS}s,,1,d001,toe,900\ns,A,1.5,d001,rearfoot,-3\ns,A,1,d001\n`);
    const bad = file('bad-k.csv', `${KEY}d001,heel,left,0,9\nd002,midfoot,far,1,4\nd002,midfoot,far,1,4\n`);
    expect(await faultsOf(scoreCommand, '--answers', answers, '--key', bad)).toEqual([
      `${answers}: row 2, column observer: is empty`,
      `${answers}: row 2, column answer: "toe" is not one of rearfoot, midfoot, forefoot, unseen`,
      `${answers}: row 3, column position: "1.5" is not a whole number of at least 0`,
      `${answers}: row 3, column response_ms: "-3" is not a number of milliseconds of at least 0`,
      `${answers}: row 4, column answer: is missing: the row has 4 cells`,
      `${bad}: row 2, column class: "heel" is not one of rearfoot, midfoot, forefoot`,
      `${bad}: row 2, column foot: "left" is not one of near, far`,
      `${bad}: row 2, column rate: "0" is not a speed of showing greater than 0; 1 is real speed`,
      `${bad}: row 2, column level: "9" is not a level from 1 to 5, or empty for a clip`,
      `${bad}: row 4, column item: "d002" is in row 3 already`,
    ]);
    const stranger = file('stranger.csv', `${ANSWERS}s,A,1,d009,rearfoot,900\n`);
    expect(await faultsOf(scoreCommand, '--answers', stranger, '--key', key())).toEqual([
      `${stranger}: row 2, column item: "d009" is no item of the key`,
    ]);
  });

  it('says twenty faults and counts the others', async () => {
    const rows = Array.from({ length: 30 }, (_, i) => `s,A,${i},d001,toe,900\n`).join('');
    const faults = await faultsOf(scoreCommand, '--answers', file('many.csv', ANSWERS + rows), '--key', key());
    expect(faults).toHaveLength(21);
    expect(faults[20]).toMatch(/: and 10 more faults$/);
  });

  it('says what is no table', async () => {
    const not = async (path: string) => (await faultsOf(scoreCommand, '--answers', path, '--key', key())).join('\n');
    expect(await not(join(folder, 'nowhere.csv'))).toContain('there is no such file');
    expect(await not(folder)).toContain('is a directory');
    expect(await not(file('empty.csv', ''))).toContain('the file is empty');
    expect(await not(file('blank.csv', '\n\n'))).toContain('no row of headings');
    expect(await not(file('headings.csv', ANSWERS))).toContain('no row below the headings');
    expect(await not(file('binary.csv', new Uint8Array(99)))).toContain('is not text');
    expect(await not(file('utf16.csv', new Uint8Array([255, 254, 65, 0])))).toContain('UTF-16');
    expect(await not(file('semicolons.csv', ANSWERS.replaceAll(',', ';')))).toContain('separated by semicolons');
    expect(await not(file('twice.csv', ANSWERS.replace('item', 'item,item')))).toContain('stands twice');
    expect(await not(file('short.csv', ANSWERS.replace('item,', '')))).toContain('column item: is missing');
    expect(await not(file('quote.csv', `${ANSWERS}"s,A,1,d001,rearfoot,900\n`))).toContain('row 2: a quotation mark');
    expect(await not(file('latin.csv', Buffer.from(`${ANSWERS}s,\xe9,1,d001,rearfoot,9\n`, 'latin1')))).toContain(
      'row 2, column observer: is not UTF-8',
    );
  });

  it.each([
    [[], 'name the answers with --answers'],
    [['--answers', 'a'], 'name the key with --key'],
    [['--answers', 'a', '--key', 'k', '--level', '95'], '--level: "95" is not a number between 0 and 1'],
    [['--answers', 'a', '--key', 'k', '--mix', 'race'], '--mix: "race" is not three weights'],
  ])('refuses %j', async (args, text) => {
    expect(await faultsOf(scoreCommand, ...args)).toEqual([
      expect.stringContaining(`kerbside practice-score: ${text}`),
    ]);
  });
});
