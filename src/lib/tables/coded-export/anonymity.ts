import type { RaceLists } from './coded-lists.ts';

/** How far the rows of an export still single out a runner to whoever has the published lists. */
export interface Anonymity {
  /** Runners in the lists. */
  readonly rows: number;
  /** Rows whose values no other row has. */
  readonly unique: number;
  /** Rows that share their values with at least four others. */
  readonly sharedByFive: number;
  /** The fewest rows that share one set of values. */
  readonly least: number;
}

/** So many rows must share their values for one of them to be hidden among them (common practice, no source). */
export const HIDDEN_AMONG = 5;

/**
 * Counts how many rows share all that published lists tell: sex, age, finish or that there is none, team and own start, and
 * what `more` adds of a runner, such as times at checkpoints (k-anonymity: L. Sweeney, Int J Uncertainty, Fuzziness and
 * Knowledge-Based Systems 10, 2002).
 */
export function anonymityOf(
  { startList, results }: RaceLists,
  more: ReadonlyMap<string, string> = new Map(),
): Anonymity {
  const values = new Map<string, string[]>();
  const tell = (bib: string, ...parts: (string | number | undefined)[]): void => {
    values.set(bib, [...(values.get(bib) ?? []), ...parts.map((part) => String(part ?? ''))]);
  };
  for (const { bib, sex, age, team, start } of startList) tell(bib, 'listed', sex, age, team, start);
  for (const { bib, finish, sex, age, status } of results) tell(bib, 'result', finish, sex, age, status);
  for (const [bib, part] of more) if (values.has(bib)) tell(bib, part);
  const sharing = new Map<string, number>();
  for (const parts of values.values()) {
    const key = JSON.stringify(parts);
    sharing.set(key, (sharing.get(key) ?? 0) + 1);
  }
  const groups = [...sharing.values()];
  return {
    rows: values.size,
    unique: groups.filter((size) => size === 1).length,
    sharedByFive: groups.filter((size) => size >= HIDDEN_AMONG).reduce((sum, size) => sum + size, 0),
    least: groups.length > 0 ? Math.min(...groups) : 0,
  };
}
