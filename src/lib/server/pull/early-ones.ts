import type { Kysely } from 'kysely';
import { MOST_LEVELS } from '../push/record-references.ts';
import type { HubTables, RaceLogRow } from '../database/hub-tables.ts';

/** By the id of a record, the arrivals of what others said of it before it came, in order. */
export type EarlyOnes = ReadonlyMap<string, readonly number[]>;

/** Ids that one statement names. */
const GROUP = 1000;

/**
 * Finds what was said of records before they came, and what was said of that.
 *
 * @param device whose own records are left out: they have a place of their own
 */
export async function earlyOnes(
  db: Kysely<HubTables>,
  log: RaceLogRow,
  ids: readonly string[],
  device: string,
): Promise<EarlyOnes> {
  const found = new Map<string, number[]>();
  /** The record that each is in the end about. */
  const rootOf = new Map(ids.map((id) => [id, id]));
  let targets = [...ids];
  for (let level = 0; level < MOST_LEVELS && targets.length > 0; level += 1) {
    const next: string[] = [];
    for (let from = 0; from < targets.length; from += GROUP) {
      const part = targets.slice(from, from + GROUP);
      for (const row of await aboutThese(db, log, part)) {
        const root = rootOf.get(row.target);
        if (root === undefined || rootOf.has(row.id)) continue;
        rootOf.set(row.id, root);
        next.push(row.id);
        if (row.device === device) continue;
        const arrivals = found.get(root);
        if (arrivals) arrivals.push(row.arrival);
        else found.set(root, [row.arrival]);
      }
    }
    targets = next;
  }
  for (const arrivals of found.values()) arrivals.sort((a, b) => a - b);
  return found;
}

function aboutThese(db: Kysely<HubTables>, log: RaceLogRow, targets: readonly string[]) {
  return db
    .selectFrom('early_targets')
    .innerJoin('records', (join) =>
      join
        .onRef('records.race_no', '=', 'early_targets.race_no')
        .onRef('records.arrival', '=', 'early_targets.arrival'),
    )
    .select(['early_targets.target', 'records.id', 'records.arrival', 'records.device'])
    .where('early_targets.race_no', '=', log.race_no)
    .where('early_targets.target', 'in', targets)
    .execute();
}
