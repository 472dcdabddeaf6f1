import type { Transaction } from 'kysely';
import type { TallyRecord } from '../../records/record.ts';
import type { SoundRecord } from '../../wire/record-list-text.ts';
import type { Rejected } from '../../wire/wire.ts';
import { kindEntry, KINDS, kindOfNumber } from '../../records/kinds.ts';
import type { HubTables } from '../database/hub-tables.ts';
import { CONFLICT, judgeRecord, type Refusal, UNKNOWN_CHECKPOINT, WRONG_DEVICE, wrongTarget } from './judge-record.ts';
import type { Push, PushEntry } from './push.ts';
import { checkpointOf, MOST_LEVELS, rootOwners, type Target, targetOf } from './record-references.ts';
import type { KeptApart } from './refused.ts';

/** Judges the records of one push, first without the store, then with it. */
export class PushBatch {
  readonly push: Push;
  entries: PushEntry[] = [];
  known = 0;
  readonly rejected: Rejected[] = [];
  readonly keptApart: KeptApart[] = [];

  constructor(push: Push, checkpoints: ReadonlySet<string>) {
    this.push = push;
    const byId = new Map<string, PushEntry>();
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
  #sift(check: (entry: PushEntry) => Refusal | null): void {
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
      const { targets } = kindEntry(record.kind);
      return targets === null || targets === 'any' || targets.includes(found.kind) ? null : wrongTarget(targets);
    });
    // Not by way of a record that was refused: it is nowhere to be found later.
    const taken = new Map(this.entries.map((entry) => [entry.sound.record.id, entry]));
    const owners = rootOwners(this.entries, taken, stored);
    for (const entry of this.entries) {
      const owner = owners.get(entry.sound.record.id);
      if (owner) entry.owner = owner;
    }
  }

  /** The stored ones of these ids and, where their owner was not known when they came, what they target in turn. */
  async #storedTargets(tx: Transaction<HubTables>, ids: string[]): Promise<Map<string, Target>> {
    const found = new Map<string, Target>();
    let wanted = ids;
    for (let level = 0; level < MOST_LEVELS && wanted.length > 0; level += 1) {
      const rows = await tx
        .selectFrom('records')
        .select(['id', 'device', 'owner', 'kind', 'body'])
        .where('race_no', '=', this.push.raceNo)
        .where('id', 'in', wanted)
        .execute();
      for (const row of rows) {
        const kind = kindOfNumber(row.kind);
        const open = row.owner === null && KINDS[kind].targets !== null;
        found.set(row.id, { ...row, kind, target: open ? targetOf(JSON.parse(row.body) as TallyRecord) : undefined });
      }
      const targets = new Set(rows.flatMap(({ id }) => found.get(id)?.target ?? []));
      wanted = [...targets].filter((id) => !found.has(id));
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

function asTarget(entry: PushEntry | undefined): Target | undefined {
  if (!entry) return undefined;
  const { device, kind } = entry.sound.record;
  return { device, owner: null, kind };
}
