import type { Kysely, Transaction } from 'kysely';
import type { LimitsMet } from '../wire/wire.ts';
import type { HubTables } from './database/hub-tables.ts';

/**
 * What observers may bring to one race. No honest race comes near: a tap every second for 48 hours is 172,800 records of a
 * device; the largest marathons have some 50,000 runners, seen by two observers at each of ten checkpoints, twice over for
 * corrections, 2 million records; and a thousand tablets are more than any race has people for. Analysts and the organiser
 * have no limits.
 */
export const LIMITS_OF_A_RACE = { recordsOfDevice: 200_000, records: 2_000_000, devices: 1000 } as const;

/** Refused records of one device that are kept for the organiser; beyond they are refused alone. */
export const MOST_REFUSED_KEPT = 5000;

/** Stands in `lifted` for the race's own limits. */
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
}

/** What holds a device's push up, in words; null when nothing does. */
export function overLimit(
  { device, records, inRace }: { readonly device: string; readonly records: number; readonly inRace: number },
  lifted: ReadonlySet<string>,
): string | null {
  if (records >= LIMITS_OF_A_RACE.recordsOfDevice && !lifted.has(device)) {
    return `This device has handed in ${records} records, more than any race needs. The organiser can lift this limit.`;
  }
  if (inRace >= LIMITS_OF_A_RACE.records && !lifted.has(WHOLE_RACE)) {
    return `This race has ${inRace} records, more than any race needs. The organiser can lift this limit.`;
  }
  return null;
}

/** The devices that have met their limit, and whether the race has, as far as they are not lifted. */
export async function limitsMet(db: Kysely<HubTables>, raceNo: number): Promise<LimitsMet> {
  const lifted = await liftedLimits(db, raceNo);
  const full = await db
    .selectFrom('devices')
    .innerJoin('tokens', (on) =>
      on.onRef('tokens.race_no', '=', 'devices.race_no').onRef('tokens.device', '=', 'devices.device'),
    )
    .select('devices.device')
    .where('devices.race_no', '=', raceNo)
    .where('devices.records', '>=', LIMITS_OF_A_RACE.recordsOfDevice)
    .where('tokens.role', '=', 'observer')
    .orderBy('devices.device')
    .execute();
  const { joined } = await db
    .selectFrom('tokens')
    .select((select) => select.fn.countAll<number>().as('joined'))
    .where('race_no', '=', raceNo)
    .executeTakeFirstOrThrow();
  const log = await db.selectFrom('race_logs').select('last_arrival').where('race_no', '=', raceNo).executeTakeFirst();
  const crowded = Number(joined) >= LIMITS_OF_A_RACE.devices;
  const race = crowded || (log?.last_arrival ?? 0) >= LIMITS_OF_A_RACE.records;
  return {
    devices: full.map(({ device }) => device).filter((device) => !lifted.has(device)),
    race: race && !lifted.has(WHOLE_RACE),
  };
}
