import type { Transaction, Updateable } from 'kysely';
import { type Outcome, succeeded } from '../domain/outcome.ts';
import type { RecordKind, TallyRecord } from '../domain/record.ts';
import type { Pushed, Rejected } from '../domain/wire.ts';
import type { Adapter, NewRecord } from './adapter.ts';
import { writeCursor } from './cursor.ts';
import { noteContacts, noteRecords } from './devices.ts';
import { type Fault, fault } from './fault.ts';
import type { HubTables, RaceLogRow } from './hub-tables.ts';
import {
  type Bringer,
  CONFLICT,
  judgeRecord,
  NO_SIGHTING,
  type Refusal,
  UNKNOWN_CHECKPOINT,
  WRONG_DEVICE,
} from './judge-record.ts';
import { lockRaceLog } from './race-log.ts';
import type { ReadPush } from './read-push.ts';
import type { SoundRecord } from '../domain/record-list-text.ts';
import { type KeptApart, keepRefused } from './refused.ts';

export const KIND_NUMBER: Record<RecordKind, number> = { sighting: 1, correction: 2, withdrawal: 3, ruling: 4 };

/** Devices beyond which a change does not name them: everyone looks then. */
const MOST_DEVICES_NAMED = 50;

export interface Push {
  readonly raceNo: number;
  readonly raceId: string;
  readonly bringer: Bringer;
  readonly message: ReadPush;
  /** The hub's clock, milliseconds. */
  readonly now: number;
}

/** A record of the batch on its way through the checks. */
interface Entry {
  readonly sound: SoundRecord;
  /** How often the same push brings it again. */
  repeats: number;
  /** The device whose record this is in the end about; undefined while the hub cannot tell. */
  owner?: string;
}

/** What the store knows of a record that others target. */
interface Target {
  readonly device: string;
  readonly owner: string | null;
  readonly kind: number;
  /** What it targets itself, if its owner was not known when it came. */
  readonly target?: string | undefined;
}

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
  pushes: readonly Push[],
): Promise<Outcome<Pushed, Fault>[]> {
  return adapter.write(async (tx, announce) => {
    const row = await lockRaceLog(adapter, tx, raceNo);
    if (!row) return pushes.map(() => fault('not-found', 'This hub has no such race.'));
    const log = new GrowingLog(row);
    const batches = pushes.map((push) => new Batch(push, log.checkpoints));
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
    await noteContacts(tx, raceNo, pushes);
    return answers.map((answer) => succeeded(answer));
  });
}

/** A race's log in the transaction that has locked its row, and what came to it there. */
class GrowingLog {
  readonly row: RaceLogRow;
  readonly checkpoints: ReadonlySet<string>;
  readonly added: Entry[] = [];
  last: number;
  #early = 0;

  constructor(row: RaceLogRow) {
    this.row = row;
    this.checkpoints = new Set(JSON.parse(row.checkpoints) as string[]);
    this.last = row.last_arrival;
  }

  /** `last` is where the log ends now, `early` how many of `added` wait for what they are about. */
  grow(added: readonly Entry[], last: number, early: number): void {
    this.added.push(...added);
    this.last = last;
    this.#early += early;
  }

  /** What its row has to say in the end. */
  changes(): Updateable<HubTables['race_logs']> {
    const used = new Set(JSON.parse(this.row.used) as string[]);
    const before = used.size;
    for (const { sound } of this.added) {
      const checkpoint = checkpointOf(sound.record);
      if (checkpoint !== undefined) used.add(checkpoint);
    }
    return {
      last_arrival: this.last,
      ...(used.size > before ? { used: JSON.stringify([...used]) } : {}),
      ...(this.#early > 0 ? { early: this.row.early + this.#early } : {}),
    };
  }
}

/**
 * Stretches of pushes of which none names a record of another before it: what the hub says to each is then the same
 * whether their records are put in together or one push after the other.
 */
function apart(batches: readonly Batch[]): Batch[][] {
  const stretches: Batch[][] = [];
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
  batches: readonly Batch[],
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
      cursor: writeCursor(log.row.log, log.last),
    });
  }
  return answers;
}

/** Judges the records of one push, first without the store, then with it. */
class Batch {
  readonly push: Push;
  entries: Entry[] = [];
  known = 0;
  readonly rejected: Rejected[] = [];
  readonly keptApart: KeptApart[] = [];

  constructor(push: Push, checkpoints: ReadonlySet<string>) {
    this.push = push;
    const byId = new Map<string, Entry>();
    for (const read of push.message.records) {
      if ('reason' in read) {
        this.rejected.push(read);
        continue;
      }
      const refusal = judgeRecord(read, push.raceId, push.bringer);
      const before = byId.get(read.record.id);
      if (refusal) this.#refuse(read, refusal);
      else if (!before) {
        const entry = { sound: read, repeats: 0 };
        byId.set(read.record.id, entry);
        this.entries.push(entry);
      } else if (before.sound.line === read.line) before.repeats += 1;
      else this.#refuse(read, CONFLICT);
    }
    this.#sift(({ sound }) => {
      const checkpoint = checkpointOf(sound.record);
      return checkpoint === undefined || checkpoints.has(checkpoint) ? null : UNKNOWN_CHECKPOINT;
    });
  }

  /** @param repeats how often the push brings it again: each is refused likewise */
  #refuse(sound: SoundRecord, { reason, kept }: Refusal, repeats = 0): void {
    for (let i = 0; i <= repeats; i += 1) this.rejected.push({ id: sound.record.id, reason });
    if (kept) this.keptApart.push({ sound, reason });
  }

  /** Keeps the entries that `check` finds nothing against. */
  #sift(check: (entry: Entry) => Refusal | null): void {
    this.entries = this.entries.filter((entry) => {
      const refusal = check(entry);
      if (refusal) this.#refuse(entry.sound, refusal, entry.repeats);
      return !refusal;
    });
  }

  /**
   * Finds out whose records the corrections and withdrawals are about, and refuses those that an observer made of
   * another device's. One whose target has not come yet is taken: only its maker can know that id.
   */
  async resolveTargets(tx: Transaction<HubTables>): Promise<void> {
    if (!this.entries.some(({ sound }) => targetOf(sound.record) !== undefined)) return;
    const inBatch = new Map(this.entries.map((entry) => [entry.sound.record.id, entry]));
    const outside = new Set<string>();
    for (const { sound } of this.entries) {
      const target = targetOf(sound.record);
      if (target !== undefined && !inBatch.has(target)) outside.add(target);
    }
    const stored = await this.#storedTargets(tx, [...outside]);
    const { role, device } = this.push.bringer;
    this.#sift((entry) => {
      const { record } = entry.sound;
      const target = targetOf(record);
      if (target === undefined) return null;
      const found = stored.get(target) ?? asTarget(inBatch.get(target));
      if (!found) return null;
      if (role === 'observer' && found.device !== device) return WRONG_DEVICE;
      return record.kind === 'correction' && found.kind !== KIND_NUMBER.sighting ? NO_SIGHTING : null;
    });
    for (const entry of this.entries) {
      const owner = rootOwner(entry.sound.record, inBatch, stored);
      if (owner !== null) entry.owner = owner;
    }
  }

  /** The stored ones of these ids and, where their owner was not known when they came, what they target in turn. */
  async #storedTargets(tx: Transaction<HubTables>, ids: string[]): Promise<Map<string, Target>> {
    const found = new Map<string, Target>();
    for (let wanted = ids; wanted.length > 0;) {
      const rows = await tx
        .selectFrom('records')
        .select(['id', 'device', 'owner', 'kind', 'body'])
        .where('race_no', '=', this.push.raceNo)
        .where('id', 'in', wanted)
        .execute();
      for (const row of rows) {
        const open = row.owner === null && row.kind !== KIND_NUMBER.sighting;
        found.set(row.id, { ...row, target: open ? targetOf(JSON.parse(row.body) as TallyRecord) : undefined });
      }
      wanted = rows.flatMap(({ id }) => found.get(id)?.target ?? []).filter((id) => !found.has(id));
    }
    return found;
  }

  /** Counts what the hub has now and had already, and refuses what has an id that stands for something else. */
  async compareKnown(tx: Transaction<HubTables>, put: readonly boolean[]): Promise<void> {
    for (const [i, { repeats }] of this.entries.entries()) if (put[i]) this.known += repeats;
    const there = this.entries.filter((_, i) => !put[i]);
    if (there.length === 0) return;
    const rows = await tx
      .selectFrom('records')
      .select(['id', 'body'])
      .where('race_no', '=', this.push.raceNo)
      .where(
        'id',
        'in',
        there.map(({ sound }) => sound.record.id),
      )
      .execute();
    const bodies = new Map(rows.map((row) => [row.id, row.body]));
    for (const { sound, repeats } of there) {
      if (bodies.get(sound.record.id) === sound.line) this.known += 1 + repeats;
      else this.#refuse(sound, CONFLICT, repeats);
    }
  }
}

function checkpointOf(record: TallyRecord): string | undefined {
  return record.kind === 'withdrawal' ? undefined : record.checkpoint;
}

function targetOf(record: TallyRecord): string | undefined {
  return record.kind === 'correction' || record.kind === 'withdrawal' ? record.target : undefined;
}

function asTarget(entry: Entry | undefined): Target | undefined {
  if (!entry) return undefined;
  const { device, kind } = entry.sound.record;
  return { device, owner: null, kind: KIND_NUMBER[kind] };
}

/**
 * Follows targets to the sighting that a correction or withdrawal is in the end about, and gives that sighting's device.
 * Null when the way leads to a ruling, in a ring, or to a record that is not there yet.
 */
function rootOwner(
  record: TallyRecord,
  inBatch: ReadonlyMap<string, Entry>,
  stored: ReadonlyMap<string, Target>,
): string | null {
  const seen = new Set<string>();
  for (let target = targetOf(record); target !== undefined && !seen.has(target);) {
    seen.add(target);
    const found = stored.get(target);
    const next = inBatch.get(target)?.sound.record;
    if (found?.kind === KIND_NUMBER.sighting) return found.device;
    if (found?.owner) return found.owner;
    if (next?.kind === 'sighting') return next.device;
    target = found?.target ?? (next && targetOf(next));
  }
  return null;
}

function asRow({ sound, owner }: Entry): NewRecord {
  const { id, kind, device } = sound.record;
  return { id, kind: KIND_NUMBER[kind], device, owner: owner ?? null, body: sound.line };
}

/** Remembers the corrections and withdrawals whose sighting the hub does not have; returns how many. */
async function keepEarlyTargets(
  tx: Transaction<HubTables>,
  raceNo: number,
  base: number,
  entries: readonly Entry[],
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

function devicesOf(added: readonly Entry[]): string[] | null {
  const devices = new Set<string>();
  for (const { sound, owner } of added) devices.add(sound.record.device).add(owner ?? sound.record.device);
  return devices.size > MOST_DEVICES_NAMED ? null : [...devices];
}
