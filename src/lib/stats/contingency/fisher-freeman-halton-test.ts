import { logPoissonDensity } from '../distributions.ts';
import { type CountTable, requireNumber, requireTable } from '../require-number.ts';
import { withoutEmptyLines } from './without-empty-lines.ts';

export interface FisherFreemanHaltonResult {
  readonly method: 'Fisher–Freeman–Halton exact test';
  /** Sum of the table. */
  readonly n: number;
  /** Number of tables with these margins; `null` for more than two rows, where they are not counted. */
  readonly tables: number | null;
  readonly p: number | null;
}

/** Tables within this relative distance of the observed one's probability count as equally likely. */
const TIE = 1e-7;
/** Lists longer than this are not kept in memory. */
const MOST_KEPT = 2e6;

/**
 * Fisher–Freeman–Halton exact test of independence in a two-way table.
 *
 * For small counts, where the chi-square approximation is doubtful. Of all tables with the same margins it sums the
 * probability of those that are not more likely than the observed one (by a relative 1e-7); a table's probability is
 * ΠR_i!·ΠC_j! ÷ (n!·Πx_ij!).
 *
 * All-zero rows and columns are dropped first; with fewer than two of either left p is `null`. It is `null` too where
 * more than `maxTables` tables have these margins. With more than two rows (and columns) these are not counted, and the
 * limit holds for the steps the sum would take.
 *
 * How: the columns are parted in two halves. The fillings of one half are listed by what they leave of the rows, each
 * list sorted with running sums; each filling of the other half then takes its share of a list by one search. So 20
 * million tables cost some hundred thousand steps in a 2 × 4 table. Terms are Poisson densities about the expected
 * counts, whose logarithms stay small however large the table.
 *
 * Source: G. H. Freeman, J. H. Halton, Biometrika 38 (1951) 141-149.
 *
 * @param table rows of counts
 * @param maxTables most tables to be looked at
 * @throws RangeError for rows of unequal length or an entry that is not a count
 *
 * @example
 * fisherFreemanHaltonTest([[3, 1], [1, 3]]); // { n: 8, tables: 5, p: 0.4857, … }
 */
export function fisherFreemanHaltonTest(table: CountTable, maxTables = 20e6): FisherFreemanHaltonResult {
  requireNumber(maxTables, 'maxTables', 0);
  const method = 'Fisher–Freeman–Halton exact test';
  const n = requireTable(table)
    .flat()
    .reduce((sum, count) => sum + count, 0);
  const observed = shaped(withoutEmptyLines(table));
  if (observed.length < 2) return Object.freeze({ method, n, tables: null, p: null });
  const rows = observed.map((row) => row.reduce((sum, count) => sum + count, 0));
  const columns = observed[0]!.map((_, j) => observed.reduce((sum, row) => sum + row[j]!, 0));
  const tables = rows.length === 2 ? tablesWithMargins(columns, Math.min(...rows)) : null;
  const split = cheapestSplit(rows, columns);
  if ((tables ?? split.steps) > maxTables) {
    return Object.freeze({ method, n, tables: Number.isFinite(tables) ? tables : null, p: null });
  }
  return Object.freeze({ method, n, tables, p: exactP(observed, rows, columns, split.kept) });
}

/** No fewer columns than rows, columns from the smallest to the largest; empty where a dimension is missing. */
function shaped(table: number[][]): number[][] {
  const wide = table.length > (table[0]?.length ?? 0) ? transposed(table) : table;
  const total = (column: number[]): number => column.reduce((sum, count) => sum + count, 0);
  return transposed(transposed(wide).sort((a, b) => total(a) - total(b)));
}

function transposed(table: number[][]): number[][] {
  return (table[0] ?? []).map((_, j) => table.map((row) => row[j]!));
}

/** Number of 2 × k tables: the ways to write the first row's total as a sum of x_j with 0 ≤ x_j ≤ C_j. */
function tablesWithMargins(columns: readonly number[], total: number): number {
  let ways = new Float64Array(total + 1);
  ways[0] = 1;
  for (const column of columns) {
    const next = new Float64Array(total + 1);
    let running = 0;
    for (let x = 0; x <= total; x++) {
      running += ways[x]! - (x > column ? ways[x - column - 1]! : 0);
      next[x] = running;
    }
    ways = next;
  }
  return ways[total]!;
}

/** How many of the first columns to list, and about how many steps the sum then takes. */
function cheapestSplit(rows: readonly number[], columns: readonly number[]): { kept: number; steps: number } {
  const least = Math.min(...rows);
  // Ways to share out a total among the rows.
  const ways = (total: number): number => {
    if (rows.length === 2) return Math.min(total, least) + 1;
    return rows.slice(1).reduce((product, _, i) => (product * (total + i + 1)) / (i + 1), 1);
  };
  let best = { kept: 0, steps: Infinity };
  for (let kept = 0; kept < columns.length; kept++) {
    const listed = columns.slice(0, kept).reduce((product, column) => product * ways(column), 1);
    const states = ways(columns.slice(0, kept).reduce((sum, column) => sum + column, 0));
    // The last column is settled by the others.
    const searched = columns.slice(kept, -1).reduce((product, column) => product * ways(column), states);
    const steps = searched + 20 * listed;
    if (listed <= MOST_KEPT && steps < best.steps) best = { kept, steps };
  }
  return best;
}

function exactP(
  observed: readonly (readonly number[])[],
  rows: readonly number[],
  columns: readonly number[],
  kept: number,
): number {
  const n = rows.reduce((sum, row) => sum + row, 0);
  // terms[j][i][x]: ln of the Poisson density of x in cell i, j about its expected count.
  const terms = columns.map((column) =>
    rows.map((row) =>
      Float64Array.from({ length: Math.min(row, column) + 1 }, (_, x) => logPoissonDensity(x, (row * column) / n)),
    ),
  );
  const own = (total: number): number => logPoissonDensity(total, total);
  const margins = [...rows, ...columns].reduce((sum, total) => sum + own(total), 0) - own(n);
  const observedLog = observed.reduce(
    (sum, row, i) => sum + row.reduce((inner, count, j) => inner + terms[j]![i]![count]!, 0),
    0,
  );
  const limit = observedLog + Math.log1p(TIE);
  const last = columns.length - 1;
  let p = 0;
  for (const { left, logs, running } of listedFillings(rows, columns.slice(0, kept), terms)) {
    const top = logs[logs.length - 1]!;
    visitFillings(left, columns, terms, kept, last, (log, remaining) => {
      let whole = log;
      for (let i = 0; i < remaining.length; i++) whole += terms[last]![i]![remaining[i]!]!;
      const taken = countUpTo(logs, limit - whole);
      if (taken > 0) p += running[taken - 1]! * Math.exp(whole + top - margins);
    });
  }
  return Math.min(1, p);
}

interface FillingList {
  /** What these fillings leave of each row. */
  readonly left: readonly number[];
  /** Logarithms of their terms in rising order. */
  readonly logs: Float64Array;
  /** Running sums of exp(log − greatest log). */
  readonly running: Float64Array;
}

/** All fillings of the first columns, gathered by what they leave of the rows. */
function listedFillings(
  rows: readonly number[],
  columns: readonly number[],
  terms: readonly (readonly Float64Array[])[],
): FillingList[] {
  const byRest = new Map<string | number, { left: number[]; logs: number[] }>();
  visitFillings(rows, columns, terms, 0, columns.length, (log, remaining) => {
    const key = remaining.length === 2 ? remaining[0]! : remaining.join();
    const list = byRest.get(key);
    if (list) list.logs.push(log);
    else byRest.set(key, { left: Array.from(remaining), logs: [log] });
  });
  return [...byRest.values()].map(({ left, logs }) => {
    const sorted = Float64Array.from(logs).sort();
    const top = sorted[sorted.length - 1]!;
    let sum = 0;
    return { left, logs: sorted, running: sorted.map((log) => (sum += Math.exp(log - top))) };
  });
}

/** Calls back with every way to fill the columns from `from` to before `to` within what is left of the rows. */
function visitFillings(
  left: readonly number[],
  columns: readonly number[],
  terms: readonly (readonly Float64Array[])[],
  from: number,
  to: number,
  visit: (log: number, remaining: Int32Array) => void,
): void {
  const remaining = Int32Array.from(left);
  const lastRow = left.length - 1;
  const fill = (j: number, i: number, rest: number, log: number): void => {
    if (j === to) {
      visit(log, remaining);
      return;
    }
    const cells = terms[j]![i]!;
    let room = 0;
    for (let k = i + 1; k <= lastRow; k++) room += remaining[k]!;
    const most = Math.min(rest, remaining[i]!);
    for (let x = Math.max(0, rest - room); x <= most; x++) {
      remaining[i]! -= x;
      if (i === lastRow) fill(j + 1, 0, columns[j + 1] ?? 0, log + cells[x]!);
      else fill(j, i + 1, rest - x, log + cells[x]!);
      remaining[i]! += x;
    }
  };
  fill(from, 0, columns[from] ?? 0, 0);
}

/** How many of the rising values are not greater than the limit. */
function countUpTo(values: Float64Array, limit: number): number {
  let low = 0;
  let high = values.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (values[middle]! <= limit) low = middle + 1;
    else high = middle;
  }
  return low;
}
