import { randomBytes } from 'node:crypto';
import type { Transaction } from 'kysely';
import type { Adapter } from './adapter.ts';
import type { HubTables, RaceLogRow } from './hub-tables.ts';

/** Reads a race's log row and keeps it locked until the transaction ends; undefined when the race is gone. */
export async function lockRaceLog(
  adapter: Adapter,
  tx: Transaction<HubTables>,
  raceNo: number,
): Promise<RaceLogRow | undefined> {
  const query = tx.selectFrom('race_logs').selectAll().where('race_no', '=', raceNo);
  return (adapter.locksRows ? query.forUpdate() : query).executeTakeFirst();
}

/** A name that no other log has. */
export function newLogName(): string {
  return randomBytes(8).toString('hex');
}
