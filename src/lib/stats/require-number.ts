/**
 * Guards for arguments. A number that makes no sense (NaN, a negative count, a level of 95 instead of 0.95) is a
 * programmer's mistake: it throws here, under its name, and never travels on as a silent NaN.
 */
export function requireNumber(value: number, name: string, least = -Infinity, most = Infinity): number {
  if (!(value >= least && value <= most)) {
    throw new RangeError(`${name} is ${String(value)}; expected a number from ${String(least)} to ${String(most)}`);
  }
  return value;
}

/** A count: a whole number of at least 0. */
export function requireCount(value: number, name: string): number {
  if (!Number.isInteger(value) || value < 0) {
    throw new RangeError(`${name} is ${String(value)}; expected a whole number of at least 0`);
  }
  return value;
}

/** A confidence level: strictly between 0 and 1, so 0.95 for 95 %. */
export function requireLevel(level: number): number {
  if (!(level > 0 && level < 1)) {
    throw new RangeError(`level is ${String(level)}; expected a number between 0 and 1, such as 0.95`);
  }
  return level;
}

/** A table of counts: rows of one length, each entry a whole number of at least 0. */
export type CountTable = readonly (readonly number[])[];

export function requireTable(table: CountTable, name = 'table'): CountTable {
  const columns = table[0]?.length ?? 0;
  for (const [i, row] of table.entries()) {
    if (row.length !== columns) {
      throw new RangeError(
        `${name} has ${String(columns)} columns in row 0 and ${String(row.length)} in row ${String(i)}`,
      );
    }
    for (const [j, count] of row.entries()) requireCount(count, `${name}[${String(i)}][${String(j)}]`);
  }
  return table;
}

/** A square table of counts. */
export function requireSquareTable(table: CountTable, name = 'table'): CountTable {
  requireTable(table, name);
  if (table.length > 0 && table[0]?.length !== table.length) {
    throw new RangeError(
      `${name} has ${String(table.length)} rows and ${String(table[0]?.length)} columns; expected a square`,
    );
  }
  return table;
}
