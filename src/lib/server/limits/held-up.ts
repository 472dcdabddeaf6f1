import { type Kysely, sql } from 'kysely';
import { utcInstant } from '../../records/instant.ts';
import type { HeldUp, LimitName } from '../../wire/wire.ts';
import type { Adapter } from '../database/adapter.ts';
import type { HubTables } from '../database/hub-tables.ts';
import { type Fault, slowDown } from '../fault.ts';
import type { Attempt } from '../../records/attempt.ts';
import { liftedLimits, WHOLE_RACE } from './lifted-limits.ts';
import { isOfDevice, type Met } from './race-limits.ts';
import { rushBegan } from './rush-began.ts';

/** Whoever is refused again and again is written down this often at most: each note is a write to the disk. */
const NOTE_EVERY_MS = 5_000;
/** After so long without a refusal the next one is a new matter. */
const OVER_AFTER_MS = 600_000;
/** The organiser is shown what happened within so long. */
const SHOWN_FOR_MS = 86_400_000;

const SAID: Readonly<Record<LimitName, string>> = {
  'device-rate': 'This device is sending records faster than any race needs.',
  'device-records': 'This device has sent more records than any race needs.',
  'code-rate': 'Those who joined with this code have sent more records than any race needs.',
  'race-rate': 'This race receives records faster than any race needs.',
  'race-records': 'This race has more records than any race needs.',
  'code-joins': 'More devices have joined with this code than any race needs.',
  'race-devices': 'This race has more devices than any race needs.',
};

interface Refusals {
  readonly notedAt: number;
  notYetNoted: number;
}

const keyOf = (raceNo: number, limit: LimitName, device: string) => `${raceNo} ${limit} ${device}`;

/** Tells those who meet a limit to wait, and writes down for the organiser who was held up since when. */
export class HeldUpNotes {
  readonly #adapter: Adapter;
  readonly #refusals = new Map<string, Refusals>();

  constructor(adapter: Adapter) {
    this.#adapter = adapter;
  }

  /** @param device whose limit it is if it is a device's own */
  async refuse(
    raceNo: number,
    device: string | null,
    { limit, waitS }: Met,
    now: number,
  ): Promise<Attempt<never, Fault>> {
    await this.#note(raceNo, isOfDevice(limit) ? (device ?? WHOLE_RACE) : WHOLE_RACE, limit, now);
    return slowDown(
      `${SAID[limit]} What is here stays here and is sent later. The organiser can lift this limit.`,
      waitS,
    );
  }

  /** Who was held up within the last day, by limits that the organiser has not lifted; the latest first. */
  async list(raceNo: number, now: number): Promise<HeldUp[]> {
    const heldUp = await listHeldUp(this.#adapter.db, raceNo, now);
    return heldUp.map((held) => {
      const { notYetNoted = 0 } = this.#refusals.get(keyOf(raceNo, held.limit, held.device ?? WHOLE_RACE)) ?? {};
      return { ...held, refused: held.refused + notYetNoted };
    });
  }

  async #note(raceNo: number, device: string, limit: LimitName, now: number): Promise<void> {
    const key = keyOf(raceNo, limit, device);
    const before = this.#refusals.get(key);
    if (before && Math.abs(now - before.notedAt) < NOTE_EVERY_MS) {
      before.notYetNoted += 1;
      return;
    }
    for (const [other, { notedAt }] of this.#refusals) if (now - notedAt > OVER_AFTER_MS) this.#refusals.delete(other);
    const refused = 1 + (before?.notYetNoted ?? 0);
    this.#refusals.set(key, { notedAt: now, notYetNoted: 0 });
    const over = now - OVER_AFTER_MS;
    const write = this.#adapter.db
      .insertInto('held_up')
      .values({ race_no: raceNo, device, limit_name: limit, since: now, latest: now, refused })
      .onConflict((conflict) =>
        conflict.columns(['race_no', 'device', 'limit_name']).doUpdateSet({
          since: sql`case when held_up.latest < ${over} then excluded.since else held_up.since end`,
          refused: sql`case when held_up.latest < ${over} then excluded.refused
            else held_up.refused + excluded.refused end`,
          latest: sql`excluded.latest`,
        }),
      )
      .execute();
    // A full disk, or a race that was erased meanwhile, must not turn the refusal into another.
    await write.catch(() => undefined);
  }
}

async function listHeldUp(db: Kysely<HubTables>, raceNo: number, now: number): Promise<HeldUp[]> {
  const rows = await db
    .selectFrom('held_up')
    .leftJoin('devices', (on) =>
      on.onRef('devices.race_no', '=', 'held_up.race_no').onRef('devices.device', '=', 'held_up.device'),
    )
    .leftJoin('tokens', (on) =>
      on.onRef('tokens.race_no', '=', 'held_up.race_no').onRef('tokens.device', '=', 'held_up.device'),
    )
    .select(['held_up.device', 'limit_name', 'since', 'latest', 'refused', 'devices.observer', 'devices.records'])
    .select('tokens.key')
    .where('held_up.race_no', '=', raceNo)
    .where('latest', '>', now - SHOWN_FOR_MS)
    .orderBy('latest', 'desc')
    .orderBy('held_up.device')
    .execute();
  if (rows.length === 0) return [];
  const lifted = await liftedLimits(db, raceNo);
  // One that was shut out since is dealt with.
  const open = rows.filter(({ device, key }) => !lifted.has(device) && (device === WHOLE_RACE || key !== null));
  const race = await ofRace(db, raceNo);
  return open.map(({ device, limit_name, since, latest, refused, observer, records }) => ({
    limit: limit_name,
    since: utcInstant(since),
    latest: utcInstant(latest),
    refused,
    ...(device === WHOLE_RACE
      ? { device: null, observer: null, ...race }
      : { device, observer, records: records ?? 0, devices: 1, joinedSince: null }),
  }));
}

/** What a race has of its observers, and since when they crowd in. */
async function ofRace(
  db: Kysely<HubTables>,
  raceNo: number,
): Promise<Pick<HeldUp, 'records' | 'devices' | 'joinedSince'>> {
  const log = await db.selectFrom('race_logs').select('last_arrival').where('race_no', '=', raceNo).executeTakeFirst();
  const joins = await db
    .selectFrom('tokens')
    .select('joined_at')
    .where('race_no', '=', raceNo)
    .where('role', '=', 'observer')
    .orderBy('joined_at')
    .execute();
  const since = rushBegan(joins.map(({ joined_at }) => joined_at));
  return {
    records: log?.last_arrival ?? 0,
    devices: joins.length,
    joinedSince: since === null ? null : utcInstant(since),
  };
}
