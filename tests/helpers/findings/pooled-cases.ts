import { readdirSync, readFileSync } from 'node:fs';

const CASES = new URL('../../reference/cases-pooled/', import.meta.url);

/** One run of a case of pooled races: arguments of `pool` with whole paths, and what R computed (tests/reference/README.md). */
export interface PooledRun {
  readonly name: string;
  readonly args: readonly string[];
  readonly expected: unknown;
}

export function pooledRuns(): PooledRun[] {
  return readdirSync(CASES).flatMap((name) => {
    const folder = new URL(`${name}/`, CASES);
    const runs = JSON.parse(readFileSync(new URL('runs.json', folder), 'utf8')) as {
      expected: string;
      args: string[];
    }[];
    const whole = (arg: string): string => arg.replace(/[^=]+\.(json|csv)$/, (path) => new URL(path, folder).pathname);
    return runs.map(({ expected, args }) => ({
      name: `${name}/${expected}`,
      args: args.map((arg) =>
        // A name of its own must not lie in the path.
        arg.endsWith('.json') && !arg.includes('=') ? `${arg.replace(/\.json$/, '')}=${whole(arg)}` : whole(arg),
      ),
      expected: JSON.parse(readFileSync(new URL(expected, folder), 'utf8')) as unknown,
    }));
  });
}
