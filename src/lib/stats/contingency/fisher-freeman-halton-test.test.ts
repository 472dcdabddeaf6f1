import fc from 'fast-check';
import { expect, it } from 'vitest';
import { fisherFreemanHaltonTest } from './fisher-freeman-halton-test.ts';

it('is null with fewer than two rows or columns that hold anything', () => {
  expect(fisherFreemanHaltonTest([])).toMatchObject({ n: 0, tables: null, p: null });
  expect(
    fisherFreemanHaltonTest([
      [1, 2],
      [0, 0],
    ]),
  ).toMatchObject({ n: 3, tables: null, p: null });
});

// By hand: margins 4 and 4 twice leave five tables; 1 to 100 in two cells leaves two.
it('counts the tables with these margins', () => {
  expect(
    fisherFreemanHaltonTest([
      [3, 1],
      [1, 3],
    ]).tables,
  ).toBe(5);
  expect(
    fisherFreemanHaltonTest([
      [1, 0],
      [99, 100],
    ]),
  ).toMatchObject({ tables: 2, p: 1 });
});

it('is null above the limit of tables, and only there', () => {
  const table = [
    [3, 1],
    [1, 3],
  ];
  expect(fisherFreemanHaltonTest(table, 4)).toMatchObject({ tables: 5, p: null });
  expect(fisherFreemanHaltonTest(table, 5).p).not.toBeNull();
  const large = [Array<number>(6).fill(60), Array<number>(6).fill(60)];
  expect(fisherFreemanHaltonTest(large).p).toBeNull();
  expect(fisherFreemanHaltonTest(large).tables).toBeGreaterThan(20e6);
});

/** Every table with the margins, one by one, by exact integer factorials. */
function listed(table: number[][]): number {
  const factorial = (n: number): bigint => (n < 2 ? 1n : BigInt(n) * factorial(n - 1));
  const columns = table[0]!.map((x, j) => x + table[1]![j]!);
  const weight = (row: number[]): bigint =>
    row.reduce((w, x, j) => (w * factorial(columns[j]!)) / (factorial(x) * factorial(columns[j]! - x)), 1n);
  const total = table[0]!.reduce((sum, x) => sum + x, 0);
  const observed = weight(table[0]!);
  let inside = 0n;
  let all = 0n;
  const walk = (row: number[], left: number): void => {
    if (row.length === columns.length) {
      if (left !== 0) return;
      const w = weight(row);
      all += w;
      if (w <= observed) inside += w;
      return;
    }
    for (let x = 0; x <= Math.min(left, columns[row.length]!); x++) walk([...row, x], left - x);
  };
  walk([], total);
  return Number((inside * 10n ** 18n) / all) / 1e18;
}

it('sums the same tables as listing every one of them with whole numbers', () => {
  const row = fc.array(fc.nat(6), { minLength: 4, maxLength: 4 });
  fc.assert(
    fc.property(row, row, (one, two) => {
      const { p } = fisherFreemanHaltonTest([one, two]);
      if (p !== null) expect(p).toBeCloseTo(listed([one, two]), 12);
      const swapped = fisherFreemanHaltonTest([two, one].map((r) => [...r].reverse())).p;
      expect(swapped).toEqual(p === null ? null : expect.closeTo(p, 12));
      const transposed = fisherFreemanHaltonTest(one.map((x, j) => [x, two[j]!])).p;
      expect(transposed).toEqual(p === null ? null : expect.closeTo(p, 12));
    }),
    { numRuns: 60 },
  );
});
