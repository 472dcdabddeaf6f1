import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { command as scoreCommand } from '../../src/cli/practice/practice-score.ts';
import { command as setCommand } from '../../src/cli/practice/practice-set.ts';
import { catchOutput } from '../helpers/catch-output.ts';
import { figureDifferences } from '../helpers/findings/figure-differences.ts';

const CASES = new URL('../reference/cases-practice/', import.meta.url);
const names = readdirSync(CASES);
const json = (name: string): unknown => JSON.parse(readFileSync(new URL(name, CASES), 'utf8'));
const path = (name: string): string => new URL(name, CASES).pathname;

interface Spec {
  readonly seed: number;
  readonly items: number;
  readonly level: number;
  readonly mix: string | number[];
}

interface Run {
  readonly expected: string;
  readonly answers: string;
  readonly key: string;
  readonly args: string[];
}

async function printed(command: typeof setCommand, args: string[]): Promise<unknown> {
  const { said, io } = catchOutput();
  expect([await command.run([...args, '--json'], io), said.err]).toEqual([0, '']);
  return JSON.parse(said.out);
}

// Computed in R apart from this program: practice.R beside the cases, checked by a second program on other routes.
describe('practice cases', () => {
  const sets = names.filter((name) => existsSync(new URL(`${name}/set.json`, CASES)));
  const scores = names
    .filter((name) => existsSync(new URL(`${name}/runs.json`, CASES)))
    .flatMap((name) =>
      (json(`${name}/runs.json`) as Run[]).map((run) => [`${name}/${run.expected}`, name, run] as const),
    );

  it('finds all of them', () => {
    expect([sets.length, scores.length]).toEqual([2, 3]);
  });

  it.each(sets)('draws %s', async (name) => {
    const { seed, items, level, mix } = json(`${name}/set.json`) as Spec;
    const args = ['--seed', String(seed), '--items', String(items), '--level', String(level), '--mix', String(mix)];
    const expected = json(`${name}/expected.json`);
    expect(figureDifferences(expected, await printed(setCommand, args))).toEqual([]);
  });

  it.each(scores)('scores %s', async (_, name, run) => {
    const files = ['--answers', path(`${name}/${run.answers}`), '--key', path(`${name}/${run.key}`)];
    const expected = json(`${name}/${run.expected}`);
    expect(figureDifferences(expected, await printed(scoreCommand, [...files, ...run.args]))).toEqual([]);
  });
});
