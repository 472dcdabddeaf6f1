import type { Race, ResultRow, StartListRow } from '../race/race.ts';
import type { TallyRecord } from '../records/record.ts';
import type { RecordHead } from '../records/record-head.ts';
import type { Attempt } from '../records/attempt.ts';
import type { HubLink, KerbsideDatabase } from '../store/database.ts';
import { handedInList, handedInSetUp, takeList, takeSetUp } from '../store/hub/hub-set-up.ts';
import { changeHubLink, findHubLink } from '../store/hub/hub-links.ts';
import { findRace, loadResults, loadStartList } from '../store/race/races.ts';
import { addPulledLines } from '../store/records/pulled-records.ts';
import { markHandedIn, recordCounts, requeueRecords } from '../store/records/record-counters.ts';
import { eachRecordBatch, waitingRecords } from '../store/records/records.ts';
import type { StoreFailure } from '../store/store-failure.ts';
import type { Surroundings } from './surroundings.ts';

/** A part of the set-up as it is on this device. */
export interface LocalPart<Value> {
  readonly value: Value;
  /** The hub's revision that it began from; 0 when the hub never had it. */
  readonly revision: number;
  readonly changedHere: boolean;
}

/** One of the three things that leads edit, and where the device keeps it. */
export interface PartStore<Value> {
  load(): Promise<LocalPart<Value>>;
  /** Keeps what the hub has in place of what is here. */
  take(value: Value, revision: number): Promise<void>;
  /** Notes that the hub has `sent` as `revision`; what was changed here meanwhile stays marked as changed. */
  handedIn(sent: Value, revision: number): Promise<void>;
}

/** What the exchange of one race needs from the device's store. Tests bring one of their own. */
export interface ExchangeStore {
  readonly raceId: string;
  link(): Promise<HubLink | undefined>;
  changeLink(change: Partial<Omit<HubLink, 'race'>>): Promise<void>;
  counts(): Promise<{ readonly waiting: number; readonly lastSeq: number }>;
  waiting(limit: number, afterSeq: number): Promise<readonly TallyRecord[]>;
  markHandedIn(records: readonly TallyRecord[]): Promise<void>;
  /** Lets every own record wait again. */
  requeue(): Promise<void>;
  /** @param lines each record as JSON text */
  addPulled(heads: readonly RecordHead[], lines: readonly string[]): Promise<Attempt<unknown, StoreFailure>>;
  eachBatch(visit: (records: TallyRecord[]) => Promise<void>): Promise<void>;
  readonly race: PartStore<Race>;
  readonly startlist: PartStore<StartListRow[]>;
  readonly results: PartStore<ResultRow[]>;
}

/** The exchange's view of the device's database. */
export function exchangeStore(
  db: KerbsideDatabase,
  raceId: string,
  { now, randomBytes }: Pick<Surroundings, 'now' | 'randomBytes'>,
): ExchangeStore {
  return {
    raceId,
    link: () => findHubLink(db, raceId),
    changeLink: (change) => changeHubLink(db, raceId, change),
    counts: () => recordCounts(db, raceId),
    waiting: (limit, afterSeq) => waitingRecords(db, raceId, limit, afterSeq),
    markHandedIn: (records) => markHandedIn(db, raceId, records),
    requeue: () => requeueRecords(db, raceId),
    addPulled: (heads, lines) => addPulledLines(db, raceId, heads, lines, { now: now(), randomBytes }),
    eachBatch: (visit) => eachRecordBatch(db, raceId, visit),
    race: {
      async load() {
        const stored = await findRace(db, raceId);
        if (!stored) throw new Error(`race ${raceId} is not on this device`);
        return {
          value: stored.race,
          revision: stored.race.revision ?? 0,
          changedHere: stored.changedHere ?? false,
        };
      },
      take: (race, revision) => takeSetUp(db, { ...race, revision }, now()),
      handedIn: (sent, revision) => handedInSetUp(db, sent, revision),
    },
    startlist: {
      load: async () => ofList(await loadStartList(db, raceId)),
      take: (rows, revision) => takeList(db, 'startLists', raceId, rows, revision),
      handedIn: (sent, revision) => handedInList(db, 'startLists', raceId, sent, revision),
    },
    results: {
      load: async () => ofList(await loadResults(db, raceId)),
      take: (rows, revision) => takeList(db, 'results', raceId, rows, revision),
      handedIn: (sent, revision) => handedInList(db, 'results', raceId, sent, revision),
    },
  };
}

function ofList<Row>({
  rows,
  revision,
  changedHere = false,
}: {
  rows: Row[];
  revision: number;
  changedHere?: boolean;
}) {
  return { value: rows, revision, changedHere };
}
