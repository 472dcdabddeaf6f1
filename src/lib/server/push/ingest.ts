import type { Transaction } from 'kysely';
import { type Attempt, succeeded } from '../../records/attempt.ts';
import type { Pushed } from '../../wire/wire.ts';
import type { Adapter, NewRecord } from '../database/adapter.ts';
import { writeCursor } from '../pull/cursor.ts';
import { noteContacts, noteRecords } from '../join/devices.ts';
import { type Fault, fault } from '../fault.ts';
import { GrowingLog } from '../database/growing-log.ts';
import { KINDS } from '../../records/kinds.ts';
import type { HubTables } from '../database/hub-tables.ts';
import type { Push, PushEntry } from './push.ts';
import { PushBatch } from './push-batch.ts';
import { lockRaceLog } from '../database/race-log.ts';
import { targetOf } from './record-references.ts';
import { keepRefused } from './refused.ts';

/** Devices beyond which a change does not name them: everyone looks then. */
const MOST_DEVICES_NAMED = 50;

/**
 * Takes pushes of one race into its log, as if one after the other. Each record is judged by itself; those that are sound
 * and new are on stable storage when this resolves. The work for a record does not depend on how many are stored.
 *
 * The race's log row is locked from the first read to the commit: so records of one race are committed in the order of
 * their arrival numbers, and whoever reads up to a number has seen all that came before it, with PostgreSQL's concurrent
 * writers too. Other races do not wait.
 */
export async function ingest(
  adapter: Adapter,
  raceNo: number,
  given: readonly Push[],
): Promise<Attempt<Pushed, Fault>[]> {
  return adapter.write(async (tx, announce) => {
    const row = await lockRaceLog(adapter, tx, raceNo);
    if (!row) return given.map(() => fault('not-found', 'This hub has no such race.'));
    const log = new GrowingLog(row);
    const batches = given.map((push) => new PushBatch(push, log.checkpoints));
    const answers: Pushed[] = [];
    for (const stretch of apart(batches)) answers.push(...(await take(adapter, tx, log, stretch)));
    if (log.added.length > 0) {
      await noteRecords(
        tx,
        raceNo,
        log.added.map((entry) => entry.sound.record),
      );
      await tx.updateTable('race_logs').set(log.changes()).where('race_no', '=', raceNo).execute();
      await announce({ kind: 'records', raceNo, arrival: log.last, devices: devicesOf(log.added) });
    }
    await noteContacts(tx, raceNo, given);
    return answers.map((one) => succeeded(one));
  });
}

/**
 * Stretches of pushes of which none names a record of another before it: what the hub says to each is then the same
 * whether their records are put in together or one push after the other.
 */
function apart(batches: readonly PushBatch[]): (readonly PushBatch[])[] {
  if (batches.length < 2) return [batches];
  const stretches: PushBatch[][] = [];
  let ids = new Set<string>();
  for (const batch of batches) {
    const records = batch.entries.map(({ sound }) => sound.record);
    const meets = records.some((record) => ids.has(record.id) || ids.has(targetOf(record) ?? ''));
    if (meets || stretches.length === 0) {
      stretches.push([]);
      ids = new Set();
    }
    stretches.at(-1)?.push(batch);
    for (const { id } of records) ids.add(id);
  }
  return stretches;
}

/** Puts in what such a stretch of pushes brings. What is to be written once for all pushes is left in `log`. */
async function take(
  adapter: Adapter,
  tx: Transaction<HubTables>,
  log: GrowingLog,
  batches: readonly PushBatch[],
): Promise<Pushed[]> {
  for (const batch of batches) await batch.resolveTargets(tx);
  const rows = batches.flatMap(({ entries }) => entries.map(asRow));
  const base = log.last;
  const put = rows.length > 0 ? await adapter.insertRecords(tx, log.row.race_no, base, rows) : [];
  const answers: Pushed[] = [];
  let from = 0;
  for (const batch of batches) {
    const { entries } = batch;
    const own = put.slice(from, from + entries.length);
    await batch.compareKnown(tx, own);
    await keepRefused(tx, batch.push, batch.keptApart);
    const added = entries.filter((_, i) => own[i]);
    if (added.length > 0) {
      const early = await keepEarlyTargets(tx, log.row.race_no, base + from, entries, own);
      log.grow(added, base + from + own.lastIndexOf(true) + 1, early);
    }
    from += entries.length;
    answers.push({
      accepted: added.length,
      known: batch.known,
      rejected: batch.rejected,
      cursor: writeCursor(log.row.log, { arrival: log.last }),
    });
  }
  return answers;
}

function asRow({ sound, owner }: PushEntry): NewRecord {
  const { id, kind, device } = sound.record;
  return { id, kind: KINDS[kind].number, device, owner: owner ?? null, body: sound.line };
}

/** Remembers the corrections and withdrawals whose sighting the hub does not have; returns how many. */
async function keepEarlyTargets(
  tx: Transaction<HubTables>,
  raceNo: number,
  base: number,
  entries: readonly PushEntry[],
  put: readonly boolean[],
): Promise<number> {
  const rows = entries.flatMap((entry, i) => {
    const target = targetOf(entry.sound.record);
    return put[i] && target !== undefined && entry.owner === undefined
      ? [{ race_no: raceNo, target, arrival: base + i + 1 }]
      : [];
  });
  if (rows.length > 0) await tx.insertInto('early_targets').values(rows).execute();
  return rows.length;
}

function devicesOf(added: readonly PushEntry[]): string[] | null {
  const devices = new Set<string>();
  for (const { sound, owner } of added) devices.add(sound.record.device).add(owner ?? sound.record.device);
  return devices.size > MOST_DEVICES_NAMED ? null : [...devices];
}
