import { readdirSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { command } from '../../src/cli/plan/plan.ts';
import { catchOutput } from '../helpers/catch-output.ts';
import { figureDifferences, numbersIn } from '../helpers/findings/figure-differences.ts';

const CASES = new URL('../reference/cases-plan/', import.meta.url);

const runs = readdirSync(CASES).flatMap((name) => {
  const folder = new URL(`${name}/`, CASES);
  const entries = JSON.parse(readFileSync(new URL('runs.json', folder), 'utf8')) as {
    expected: string;
    plan: string;
    results: string | null;
    args: string[];
  }[];
  return entries.map((run) => ({ name: `${name}/${run.expected}`, folder, ...run }));
});

// Computed in R apart from this program by planning.R in tests/reference.
describe('every planning case through the command line', () => {
  it('finds all of them', () => {
    expect(runs.length).toBeGreaterThanOrEqual(8);
  });

  it.each(runs.map((run) => [run.name, run] as const))('%s', async (_, { folder, plan, results, expected, args }) => {
    const path = (name: string): string => fileURLToPath(new URL(name, folder));
    const { said, io } = catchOutput();
    const given = ['--plan', path(plan), ...(results ? ['--results', path(results)] : []), ...args];
    expect(await command.run([...given, '--json'], io)).toBe(0);
    const found = JSON.parse(said.out) as { notes: string[] };
    expect(figureDifferences(JSON.parse(readFileSync(path(expected), 'utf8')), found)).toEqual([]);
    expect(found.notes.length).toBeGreaterThan(3);
    expect(numbersIn(found).filter(({ value }) => !Number.isFinite(value))).toEqual([]);
    said.out = '';
    expect(await command.run(given, io)).toBe(0);
    expect(said.out).not.toMatch(/NaN|undefined|null of|Infinity/);
  });
});
