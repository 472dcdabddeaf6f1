import { succeeded } from '../../../src/lib/records/attempt.ts';
import type { Race, ResultRow, StartListRow } from '../../../src/lib/race/race.ts';
import type { TallyRecord } from '../../../src/lib/records/record.ts';
import type { RecordHead } from '../../../src/lib/records/record-head.ts';
import type { HubLink } from '../../../src/lib/store/database.ts';
import type { ExchangeStore, LocalPart, PartStore } from '../../../src/lib/sync/exchange-store.ts';

/** A device's store in memory, with the answers of the real one. */
export class MemoryExchangeStore implements ExchangeStore {
  readonly raceId: string;
  own: { record: TallyRecord; waiting: boolean }[] = [];
  pulled = new Map<string, TallyRecord>();
  hubLink: HubLink | undefined;
  /** Answers in place of the store while it is set, as a full device would. */
  failAdding = false;
  readonly race: MemoryPart<Race>;
  readonly startlist = new MemoryPart<StartListRow[]>([]);
  readonly results = new MemoryPart<ResultRow[]>([]);

  constructor(race: Race, role: HubLink['role']) {
    this.raceId = race.id;
    this.race = new MemoryPart(race);
    this.hubLink = { race: race.id, role, token: 'token-of-this-device-0' };
  }

  add(record: TallyRecord): void {
    this.own.push({ record, waiting: true });
  }

  link = () => Promise.resolve(this.hubLink);
  changeLink = (change: Partial<HubLink>) => {
    if (this.hubLink) this.hubLink = { ...this.hubLink, ...change };
    return Promise.resolve();
  };
  counts = () => Promise.resolve({ waiting: this.own.filter((row) => row.waiting).length, lastSeq: this.own.length });
  waiting = (limit: number, afterSeq: number) =>
    Promise.resolve(
      this.own
        .filter((row) => row.waiting && row.record.seq > afterSeq)
        .slice(0, limit)
        .map((row) => row.record),
    );
  markHandedIn = (records: readonly TallyRecord[]) => {
    const ids = new Set(records.map((record) => record.id));
    for (const row of this.own) if (ids.has(row.record.id)) row.waiting = false;
    return Promise.resolve();
  };
  requeue = () => {
    for (const row of this.own) row.waiting = true;
    return Promise.resolve();
  };
  addPulled = (_heads: readonly RecordHead[], lines: readonly string[]) => {
    if (this.failAdding) return Promise.resolve({ ok: false as const, error: { type: 'storageFull' as const } });
    for (const line of lines) {
      const record = JSON.parse(line) as TallyRecord;
      if (!this.own.some((row) => row.record.id === record.id)) this.pulled.set(record.id, record);
    }
    return Promise.resolve(succeeded(undefined));
  };
  eachBatch = async (visit: (records: TallyRecord[]) => Promise<void>) => {
    await visit(this.own.map((row) => row.record));
    await visit([...this.pulled.values()]);
  };
}

class MemoryPart<Value> implements PartStore<Value> {
  local: LocalPart<Value>;

  constructor(value: Value) {
    this.local = { value, revision: 0, changedHere: false };
  }

  change(value: Value): void {
    this.local = { ...this.local, value, changedHere: true };
  }

  load = () => Promise.resolve(this.local);
  take = (value: Value, revision: number) => {
    this.local = { value, revision, changedHere: false };
    return Promise.resolve();
  };
  handedIn = (sent: Value, revision: number) => {
    this.local = { ...this.local, revision, changedHere: this.local.value !== sent };
    return Promise.resolve();
  };
}
