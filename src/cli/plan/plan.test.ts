import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { catchOutput } from '../../../tests/helpers/catch-output.ts';
import type { PlanFigures } from '../../lib/plan/plan-figures.ts';
import { command } from './plan.ts';

let folder = '';
beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), 'kerbside-'));
});
afterEach(async () => {
  await rm(folder, { recursive: true });
});

const SMALLEST = {
  starters: 1200,
  km: 42.195,
  checkpoints: [
    { name: 'Old Pier', km: 10 },
    { name: 'Quarry Hill', km: 32 },
  ],
};

async function planned(plan: unknown, ...more: string[]) {
  return plannedOn(undefined, plan, ...more);
}

async function plannedOn(width: number | undefined, plan: unknown, ...more: string[]) {
  const path = join(folder, 'plan.json');
  await writeFile(path, typeof plan === 'string' ? plan : JSON.stringify(plan));
  const { said, io } = catchOutput();
  return { code: await command.run(['--plan', path, ...more], { ...io, width }), ...said };
}

describe('kerbside plan', () => {
  it('answers first, in text', async () => {
    const { code, out } = await planned(SMALLEST);
    expect(code).toBe(0);
    // Figures of the reference case `defaults`: 280 pairs, power 0.585 through eyes that err.
    expect(out).toMatch(
      /^About 280 runners will be classed at both\. A shift from 79 to 86 in 100 would be\snoticed in 6 of\s10 such races\./,
    );
    expect(out).toContain('Which runners');
  });

  it.each([50, 60, 80, 120])('keeps to a terminal of %i columns', async (width) => {
    const { out } = await plannedOn(width, { ...SMALLEST, quarterRearfoot: [0.7, 0.75, 0.8, 0.9] });
    for (const line of out.split('\n')) expect(line.length, line).toBeLessThanOrEqual(width);
  });

  it.each([
    [
      'a km beyond the course',
      { checkpoints: [{ name: 'A', km: 50 }] },
      'checkpoints[0].km: 50 lies beyond the course of 42.195 km',
    ],
    ['more starters than can be', { starters: 200_001 }, 'starters: expected at most 200000'],
    ['half a starter', { starters: 1.5 }, 'starters: expected a whole number'],
    ['no starters', { starters: undefined }, 'starters: is missing'],
    ['a misspelt name', { starter: 5 }, 'starter: is no field that belongs here'],
    ['a misspelt name within', { field: { medain: 5 } }, 'field.medain: is no field that belongs here'],
    ['no checkpoint', { checkpoints: [] }, 'checkpoints: expected at least 1 entry'],
    [
      'a name that is there twice',
      {
        checkpoints: [
          { name: 'A', km: 1 },
          { name: 'A', km: 2 },
        ],
      },
      'checkpoints[1].name: checkpoints[0] is "A" too',
    ],
    [
      'more changed than there are',
      { shift: { changed: 0.9 } },
      'shift.changed: 0.756 of the runners would change to rearfoot',
    ],
    [
      'a checkpoint that is not there',
      { late: 'C' },
      'late: there is no checkpoint "C"; the checkpoints are Old Pier, Quarry Hill',
    ],
    [
      'late before early',
      { early: 'Quarry Hill', late: 'Old Pier' },
      'late: the late checkpoint lies before the early one',
    ],
    [
      'waves that do not add up',
      { field: { waves: [{ share: 0.5, at: 0, line: 9 }] } },
      'field.waves: the shares add up to 0.5; expected 1',
    ],
    [
      'a start line longer than the race',
      { field: { waves: [{ share: 1, at: 0, line: 90_000 }] } },
      'field.waves: runner',
    ],
    [
      'endings that overlap',
      { rule: { kind: 'endings', endings: ['7', '07'] } },
      'rule.endings: bibs that end in 07 end in 7 too',
    ],
    [
      'endings that are no digits',
      { rule: { kind: 'endings', endings: ['A'] } },
      'rule.endings[0]: expected 1 to 6 digits',
    ],
    ['a rule that is none', { rule: { kind: 'some' } }, 'rule.kind: expected'],
    ['a level that is a percentage', { level: 95 }, 'level: expected less than 1'],
    ['three class shares', { classes: { early: [1, 2, 3], late: [1, 2, 3, 4] } }, 'classes.early: expected 4 numbers'],
  ])('says %s, with its place, and ends with 2', async (_, change, sentence) => {
    const { code, out, err } = await planned({ ...SMALLEST, ...change }, '--json');
    expect({ code, out }).toEqual({ code: 2, out: '' });
    expect(err).toContain(`plan.json: ${sentence}`);
  });

  it('says each fault on a line of its own, the first twenty, then a count', async () => {
    const checkpoints = Array.from({ length: 25 }, (_, i) => ({ name: `C${String(i)}`, km: 43 + i }));
    const { err } = await planned({ ...SMALLEST, checkpoints });
    expect(err.trim().split('\n')).toHaveLength(21);
    expect(err).toContain('and 5 more faults');
  });

  it('says what is wrong with files and options', async () => {
    expect((await planned('{"starters": 5')).err).toContain('plan.json: is not JSON');
    expect((await planned('[]')).err).toContain('expected an object');
    const { said, io } = catchOutput();
    expect(await command.run([], io)).toBe(2);
    expect(said.err).toContain('name the plan with --plan');
    const results = join(folder, 'r.csv');
    await writeFile(results, 'bib,finish\n1,DNF\n');
    expect((await planned(SMALLEST, '--results', results)).err).toContain('r.csv: nobody has a finish time');
  });

  it('asks about finish times that nobody can have run over the plan’s course', async () => {
    const results = join(folder, 'r.csv');
    await writeFile(results, 'bib,finish\n1,3:42\n2,4:10\n3,4:42\n');
    const asked = await planned(SMALLEST, '--results', results);
    expect(asked).toMatchObject({ code: 2, out: '' });
    expect(asked.err).toContain('say so with --times h:mm');
    expect((await planned(SMALLEST, '--results', results, '--times', 'h:mm')).code).toBe(0);
  });

  it('asks whether last year’s times are of another distance', async () => {
    const results = join(folder, 'r.csv');
    await writeFile(results, 'bib,finish\n1,0:52:00\n2,0:55:00\n');
    const { code, out } = await planned(SMALLEST, '--results', results);
    // Times of a 10 km race for a marathon: with the start of 1,200 they are possible, and odd.
    expect(code).toBe(0);
    expect(out.replace(/\s+/g, ' ')).toContain('Are these the times of another distance?');
  });

  it('takes 200,000 starters, the most there can be', async () => {
    const { code, out } = await planned({ ...SMALLEST, starters: 200_000 }, '--json');
    expect(code).toBe(0);
    // By hand: 5 in 100 give up evenly over the course, ⌊200,000·(1 − 0.05·10/42.195) + ½⌋ pass 10 km.
    expect((JSON.parse(out) as PlanFigures).flow[0]!.passing).toBe(197_630);
    expect(out).not.toMatch(/NaN|Infinity/);
  });

  it('takes nobody observing for what it is', async () => {
    const checkpoints = SMALLEST.checkpoints.map((checkpoint) => ({ ...checkpoint, observers: 0 }));
    const { code, out } = await planned({ ...SMALLEST, checkpoints });
    expect(code).toBe(0);
    expect(out).toContain('Nobody observes at Old Pier');
    expect(out).toContain('About 0 runners will be classed at both. No shift can be noticed.');
  });
});
