import type { Kysely } from 'kysely';
import type { LimitName } from '../../wire/wire.ts';
import type { HubTables } from '../database/hub-tables.ts';
import type { Caller } from '../join/caller.ts';
import { Allowances } from './allowances.ts';
import { liftedLimits, WHOLE_RACE } from './lifted-limits.ts';
import {
  LIMITS_OF_A_RACE,
  RATE_MEANWHILE,
  RATE_OF_CODE,
  RATE_OF_DEVICE,
  RATE_OF_JOINS,
  RATE_OF_RACE,
} from './limits-of-a-race.ts';

/** A limit that is met, and when to come again. */
export interface Met {
  readonly limit: LimitName;
  readonly waitS: number;
}

/** Who brings: all that a limit looks at. */
export type Bringing = Pick<Caller, 'raceNo' | 'device' | 'codeHash'>;

/** When to try again after a total was met: the organiser may have lifted it. */
const LIFTED_AFTER_S = 60;

/**
 * How much observers bring at a time. It is kept in this process alone: several hubs on one store let as many times more
 * through, and a hub that starts again begins anew; what has come in all is counted in the store.
 */
export class RaceLimits {
  readonly #devices = new Allowances(RATE_OF_DEVICE);
  readonly #codes = new Allowances(RATE_OF_CODE);
  readonly #races = new Allowances(RATE_OF_RACE);
  readonly #meanwhile = new Allowances(RATE_MEANWHILE);
  readonly #joins = new Allowances(RATE_OF_JOINS);

  /** The limit that keeps an observer's push waiting, if the organiser has not lifted it; null when none does. */
  async ofPush(db: Kysely<HubTables>, bringing: Bringing, now: number): Promise<Met | null> {
    const met = this.#rateMet(bringing, now) ?? (await totalMet(db, bringing));
    if (!met) return null;
    const lifted = await liftedLimits(db, bringing.raceNo);
    if (lifted.has(bringing.device ?? WHOLE_RACE)) return null;
    if (!isOfDevice(met.limit)) return lifted.has(WHOLE_RACE) ? null : met;
    return met;
  }

  #rateMet(bringing: Bringing, now: number): Met | null {
    const [device, code, race] = keysOf(bringing);
    const own = this.#devices.waitS(device, now);
    if (own > 0) return { limit: 'device-rate', waitS: own };
    const codeIsFull = this.#codes.waitS(code, now) > 0;
    if (!codeIsFull && this.#races.waitS(race, now) === 0) return null;
    const waitS = this.#meanwhile.waitS(device, now);
    return waitS > 0 ? { limit: codeIsFull ? 'code-rate' : 'race-rate', waitS } : null;
  }

  /** Counts the records of a push that was let through. */
  pushed(bringing: Bringing, records: number, now: number): void {
    const [device, code, race] = keysOf(bringing);
    const isFull = this.#codes.waitS(code, now) > 0 || this.#races.waitS(race, now) > 0;
    if (isFull) this.#meanwhile.spend(device, records, now);
    this.#devices.spend(device, records, now);
    this.#codes.spend(code, records, now);
    this.#races.spend(race, records, now);
  }

  /** Seconds until another new device may join with a code; 0 when it may now. */
  joinWaitS(codeHash: string, now: number): number {
    return this.#joins.waitS(codeHash, now);
  }

  joined(codeHash: string, now: number): void {
    this.#joins.spend(codeHash, 1, now);
  }
}

/** Whether a limit is a device's own, and not of all observers together. */
export function isOfDevice(limit: LimitName): boolean {
  return limit === 'device-rate' || limit === 'device-records';
}

function keysOf({ raceNo, device, codeHash }: Bringing): readonly [device: string, code: string, race: string] {
  const race = String(raceNo);
  return [`${race} ${device ?? ''}`, `${race} ${codeHash ?? ''}`, race];
}

/** Whether all that a device, or all observers, have brought since the race was opened is more than any needs. */
async function totalMet(db: Kysely<HubTables>, { raceNo, device }: Bringing): Promise<Met | null> {
  const row = await db
    .selectFrom('race_logs')
    .leftJoin('devices', (on) =>
      on.onRef('devices.race_no', '=', 'race_logs.race_no').on('devices.device', '=', device ?? ''),
    )
    .select(['race_logs.last_arrival', 'devices.records'])
    .where('race_logs.race_no', '=', raceNo)
    .executeTakeFirst();
  if (!row) return null;
  if ((row.records ?? 0) >= LIMITS_OF_A_RACE.recordsOfDevice) return { limit: 'device-records', waitS: LIFTED_AFTER_S };
  return row.last_arrival >= LIMITS_OF_A_RACE.records ? { limit: 'race-records', waitS: LIFTED_AFTER_S } : null;
}
