import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { pearsonChiSquareTest } from '../../src/lib/stats/contingency/pearson-chi-square-test.ts';
import { wilsonInterval } from '../../src/lib/stats/proportions/wilson-interval.ts';

/**
 * Published shares of foot strike classes at race checkpoints, tests/reference/field-studies.json: title, journal and
 * year of each study stand there, and whether its figures were seen or come from memory.
 */
interface Study {
  readonly id: string;
  readonly title: string;
  readonly journal: string;
  readonly year: number | null;
  readonly seen: boolean;
  readonly checkpoints: readonly {
    readonly km: number | null;
    readonly n: number | null;
    readonly counts: Readonly<Record<string, number | null>> | null;
    readonly shares: Readonly<Record<string, number>>;
  }[];
}
interface Comparison {
  readonly compare: readonly [string, string];
  readonly counts: readonly (readonly number[])[];
  readonly published: number;
  readonly decimals: number;
  readonly df: number;
  readonly source: string;
}

const file = new URL('../reference/field-studies.json', import.meta.url);
const { studies, chi_square: comparisons } = JSON.parse(readFileSync(file, 'utf8')) as {
  studies: Study[];
  chi_square: Comparison[];
};

const counted = studies.flatMap((study) =>
  study.checkpoints.flatMap(({ km, n, counts, shares }) =>
    n === null || counts === null
      ? []
      : [
          [
            `${study.id} at ${km ?? '?'} km: ${study.title}, ${study.journal}, ${study.year ?? ''}`,
            n,
            counts,
            shares,
          ] as const,
        ],
  ),
);

/** 8 of 42 is 19.05 %, 19.0 to one decimal; one table has 19.1, so that its three shares add up to 100. */
const misprinted = (n: number, x: number, share: number): boolean => n === 42 && x === 8 && share === 19.1;

// Shares in percent as printed, with as many decimals as the print has: whole, one or two.
const decimalsOf = (shares: readonly number[]): number =>
  Math.max(...shares.map((share) => String(share).split('.')[1]?.length ?? 0));

describe('printed counts give the printed shares', () => {
  it.each(counted)('%s', (_, n, counts, shares) => {
    const total = Object.values(counts).reduce<number>((sum, count) => sum + (count ?? 0), 0);
    expect(total).toBe(n);
    const rounding = 0.5 * 10 ** -decimalsOf(Object.values(shares));
    for (const [name, share] of Object.entries(shares)) {
      const x = counts[name];
      expect(x, name).not.toBeUndefined();
      const allowed = misprinted(n, x!, share) ? 0.06 : rounding * (1 + 1e-9);
      expect(Math.abs((100 * x!) / n - share), name).toBeLessThanOrEqual(allowed);
      const { low, high } = wilsonInterval(x!, n);
      expect(low! <= x! / n && x! / n <= high!).toBe(true);
    }
  });

  it('are many', () => {
    expect(counted.length).toBeGreaterThanOrEqual(13);
  });
});

describe('printed chi-square statistics', () => {
  it.each(comparisons.map((one) => [`${one.compare.join(' against ')}: ${one.source}`, one] as const))(
    '%s',
    (_, { counts, published, decimals, df }) => {
      const test = pearsonChiSquareTest(counts);
      expect(Math.abs(test.statistic! - published)).toBeLessThanOrEqual(0.5 * 10 ** -decimals);
      expect(test.df).toBe(df);
    },
  );
});
