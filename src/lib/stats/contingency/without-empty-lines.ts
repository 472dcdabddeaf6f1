import type { CountTable } from '../require-number.ts';

/** The table without its all-zero rows and columns, as tests on the margins need it. */
export function withoutEmptyLines(table: CountTable): number[][] {
  const columns = (table[0] ?? []).map((_, j) => table.some((row) => row[j]! > 0));
  return table.filter((row) => row.some((count) => count > 0)).map((row) => row.filter((_, j) => columns[j]));
}
