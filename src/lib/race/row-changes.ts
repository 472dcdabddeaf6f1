/** What replacing one list by another does, runner by runner. */
export interface RowChanges<Row extends { bib: string }> {
  added: Row[];
  removed: Row[];
  changed: { before: Row; after: Row }[];
  same: number;
}

const sameFields = (a: Readonly<Record<string, unknown>>, b: Readonly<Record<string, unknown>>) => {
  const names = new Set([...Object.keys(a), ...Object.keys(b)]);
  return [...names].every((name) => a[name] === b[name]);
};

/** Compares two lists by bib. Each bib stands once in a list; the order of rows does not count. */
export function rowChanges<Row extends { bib: string }>(
  before: readonly Row[],
  after: readonly Row[],
): RowChanges<Row> {
  const old = new Map(before.map((row) => [row.bib, row]));
  const changes: RowChanges<Row> = { added: [], removed: [], changed: [], same: 0 };
  for (const row of after) {
    const was = old.get(row.bib);
    if (!was) changes.added.push(row);
    else if (sameFields({ ...was }, { ...row })) changes.same += 1;
    else changes.changed.push({ before: was, after: row });
    old.delete(row.bib);
  }
  changes.removed.push(...old.values());
  return changes;
}
