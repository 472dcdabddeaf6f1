import type { Kysely, Transaction } from 'kysely';
import type { HubTables } from '../database/hub-tables.ts';

/** Stands in `lifted` and `held_up` for all observers of a race together. */
export const WHOLE_RACE = '';

/** The devices for which the organiser has lifted the limits; `WHOLE_RACE` among them when the race's are. */
export async function liftedLimits(
  db: Kysely<HubTables> | Transaction<HubTables>,
  raceNo: number,
): Promise<Set<string>> {
  const rows = await db.selectFrom('lifted').select('device').where('race_no', '=', raceNo).execute();
  return new Set(rows.map(({ device }) => device));
}

/** Lets a device, or with `WHOLE_RACE` all of them together, bring more than its limit. */
export async function liftLimit(tx: Transaction<HubTables>, raceNo: number, device: string): Promise<void> {
  await tx
    .insertInto('lifted')
    .values({ race_no: raceNo, device })
    .onConflict((conflict) => conflict.columns(['race_no', 'device']).doNothing())
    .execute();
  await tx.deleteFrom('held_up').where('race_no', '=', raceNo).where('device', '=', device).execute();
}
