import { type Kysely, sql, type Transaction } from 'kysely';
import { utcInstant } from '../../records/instant.ts';
import type { TallyRecord } from '../../records/record.ts';
import type { CodeInUse, DeviceState } from '../../wire/wire.ts';
import type { Adapter } from '../database/adapter.ts';
import type { HubTables } from '../database/hub-tables.ts';
import type { Push } from '../push/push.ts';

/** A device that only listens is noted this often at most: each note is a write to the disk. */
const CONTACT_EVERY_MS = 10_000;

/** When a device pushed, and what it said of itself. */
interface Contact {
  readonly lastSeq: number;
  readonly offsetMs: number | null;
  readonly at: number;
}

/** In one order everywhere, so that two transactions never wait for each other's rows. */
function inOrder<T>(byDevice: ReadonlyMap<string, T>): [device: string, of: T][] {
  return [...byDevice].sort(([a], [b]) => (a < b ? -1 : 1));
}

/** Counts new records with the devices that made them. */
export async function noteRecords(
  tx: Transaction<HubTables>,
  raceNo: number,
  records: readonly TallyRecord[],
): Promise<void> {
  const byDevice = new Map<string, { observer: string; records: number; seq: number }>();
  for (const { device, observer, seq } of records) {
    const row = byDevice.get(device);
    if (!row) byDevice.set(device, { observer, records: 1, seq });
    else {
      row.records += 1;
      if (seq > row.seq) {
        row.seq = seq;
        row.observer = observer;
      }
    }
  }
  // Each row has 5 parameters, so that the databases' limits are far.
  const rows = inOrder(byDevice).map(([device, row]) => ({
    race_no: raceNo,
    device,
    observer: row.observer,
    records: row.records,
    last_seq: row.seq,
  }));
  await tx
    .insertInto('devices')
    .values(rows)
    .onConflict((conflict) =>
      conflict.columns(['race_no', 'device']).doUpdateSet({
        observer: sql`case when excluded.last_seq >= devices.last_seq or devices.observer is null
          then excluded.observer else devices.observer end`,
        records: sql`devices.records + excluded.records`,
        last_seq: sql`case when excluded.last_seq > devices.last_seq then excluded.last_seq else devices.last_seq end`,
      }),
    )
    .execute();
}

/** Notes that the pushing devices were here, how far they have counted and how their clocks stand. */
export async function noteContacts(tx: Transaction<HubTables>, raceNo: number, pushes: readonly Push[]): Promise<void> {
  const byDevice = new Map<string, Contact>();
  for (const { bringer, message, now } of pushes) {
    if (bringer.device === null) continue;
    const before = byDevice.get(bringer.device);
    byDevice.set(bringer.device, {
      lastSeq: Math.max(message.lastSeq ?? 0, before?.lastSeq ?? 0),
      offsetMs: message.sentAt === undefined ? (before?.offsetMs ?? null) : now - Date.parse(message.sentAt),
      at: now,
    });
  }
  if (byDevice.size === 0) return;
  await tx
    .insertInto('devices')
    .values(
      inOrder(byDevice).map(([device, { lastSeq, offsetMs, at }]) => ({
        race_no: raceNo,
        device,
        observer: null,
        records: 0,
        last_seq: lastSeq,
        offset_ms: offsetMs,
        last_contact: at,
      })),
    )
    .onConflict((conflict) =>
      conflict.columns(['race_no', 'device']).doUpdateSet({
        last_seq: sql`case when excluded.last_seq > devices.last_seq then excluded.last_seq else devices.last_seq end`,
        offset_ms: sql`coalesce(excluded.offset_ms, devices.offset_ms)`,
        last_contact: sql`excluded.last_contact`,
      }),
    )
    .execute();
}

/**
 * Notes that a device read, if it was not noted a moment ago. Where the disk is full it is not noted: reading must not end
 * because of it.
 */
export async function noteReading(adapter: Adapter, raceNo: number, device: string, now: number): Promise<void> {
  const note = adapter.db
    .updateTable('devices')
    .set({ last_contact: now })
    .where('race_no', '=', raceNo)
    .where('device', '=', device)
    .where((where) => where.or([where('last_contact', 'is', null), where('last_contact', '<', now - CONTACT_EVERY_MS)]))
    .execute();
  await adapter.storage
    .watch(() => note)
    .catch((error: unknown) => {
      if (!adapter.cannotStore(error)) throw error;
    });
}

/** Every device that joined the race or made a record in it, in the order of their ids. */
export async function listDevices(db: Kysely<HubTables>, raceNo: number): Promise<DeviceState[]> {
  const rows = await db.selectFrom('devices').selectAll().where('race_no', '=', raceNo).orderBy('device').execute();
  return rows.map((row) => ({
    device: row.device,
    observer: row.observer,
    records: row.records,
    lastSeq: row.last_seq,
    offsetMs: row.offset_ms,
    lastContact: row.last_contact === null ? null : utcInstant(row.last_contact),
  }));
}

/** Under which observer codes devices have made records, since when they are in the race, latest contact first. */
export async function listCodesInUse(db: Kysely<HubTables>, raceNo: number): Promise<CodeInUse[]> {
  const devices = await listDevices(db, raceNo);
  const tokens = await db.selectFrom('tokens').select(['device', 'joined_at']).where('race_no', '=', raceNo).execute();
  const joined = new Map(tokens.map(({ device, joined_at: at }) => [device, utcInstant(at)]));
  return devices
    .flatMap(({ observer, device, lastContact }) =>
      observer === null ? [] : [{ observer, device, since: joined.get(device) ?? null, lastContact }],
    )
    .sort((a, b) => ((a.lastContact ?? '') < (b.lastContact ?? '') ? 1 : -1));
}
