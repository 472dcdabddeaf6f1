import { Dexie, type EntityTable, type Table } from 'dexie';
import type { Race, ResultRow, StartListRow } from '../domain/race.ts';
import type { TallyRecord } from '../domain/record.ts';

/** A race on this device: the set-up as it travels, and what only this device knows of it. */
export interface StoredRace {
  id: string;
  race: Race;
  /** The invented race that shows the app; said wherever it appears. */
  demo?: boolean;
  /** Milliseconds since 1970, for the order of the list of races. */
  openedAt: number;
  /** Whether the set-up has changed here since the hub last had it. */
  changedHere?: boolean;
}

export interface StoredStartList {
  race: string;
  revision: number;
  rows: StartListRow[];
  changedHere?: boolean;
}

export interface StoredResults {
  race: string;
  revision: number;
  rows: ResultRow[];
  changedHere?: boolean;
}

/** Own records as rows: one tap, one row. `waiting` is 1 until the hub or a saved file has it, then 0. */
export interface StoredRecord {
  id: string;
  race: string;
  seq: number;
  waiting: 0 | 1;
  record: TallyRecord;
}

/** Pulled records in blocks of up to 1,000: a million rows in single rows would take minutes to write. */
export interface RecordBlock {
  race: string;
  block: number;
  records: TallyRecord[];
}

/** Counters that screens show, kept in the transaction that changes them: counting an index costs 4 µs a row. */
export interface Counter {
  key: string;
  value: number;
}

/** Small facts about this device, such as its id and chosen hand. */
export interface Setting {
  key: string;
  value: unknown;
}

/** This device's tie to the hub for one race. */
export interface HubLink {
  race: string;
  role: 'observer' | 'analyst' | 'organiser';
  token: string;
  cursor?: string;
  /** Hub clock minus this device's clock, milliseconds. */
  offsetMs?: number;
  lastContact?: number;
  refused?: { id: string; reason: string }[];
}

/** The tablet's database. Its schema only grows: each change is a new version with its upgrade. */
export class KerbsideDatabase extends Dexie {
  races!: EntityTable<StoredRace, 'id'>;
  startLists!: EntityTable<StoredStartList, 'race'>;
  results!: EntityTable<StoredResults, 'race'>;
  records!: EntityTable<StoredRecord, 'id'>;
  blocks!: Table<RecordBlock, [string, number]>;
  counters!: EntityTable<Counter, 'key'>;
  settings!: EntityTable<Setting, 'key'>;
  hubLinks!: EntityTable<HubLink, 'race'>;

  constructor(name = 'kerbside') {
    // Chromium's default may lose a write that was reported as done when the machine dies: strict flushes first.
    super(name, { chromeTransactionDurability: 'strict' });
    this.version(1).stores({
      races: 'id, openedAt',
      startLists: 'race',
      results: 'race',
      records: 'id, [race+seq], [race+waiting+seq]',
      blocks: '[race+block]',
      counters: 'key',
      settings: 'key',
      hubLinks: 'race',
    });
  }
}
