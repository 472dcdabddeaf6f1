import { Dexie, type EntityTable, type Table } from 'dexie';
import type { Race, ResultRow, StartListRow } from '../race/race.ts';
import type { TallyRecord } from '../records/record.ts';
import type { PracticeAnswer, PracticeSession } from '../practice/practice-session.ts';
import { OpenTransactions } from './open-transactions.ts';
import { rowsThatNeverChange } from './rows-that-never-change.ts';
import type { SeqRange } from './seq-ranges.ts';

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

/** A race's start list or results. */
export interface StoredList<Row> {
  race: string;
  /** The hub's revision that it began from; 0 when the hub never had it. */
  revision: number;
  rows: Row[];
  changedHere?: boolean;
}

export type StoredStartList = StoredList<StartListRow>;
export type StoredResults = StoredList<ResultRow>;

/** Own records as rows: one tap, one row, written once by `add-record.ts` alone. */
export interface StoredRecord {
  id: string;
  race: string;
  seq: number;
  /** Own sightings of the race that stood when this record had been written: the last row has the count of now. */
  tallied: number;
  /** The bib of a sighting or of a correction that changes it, to find a runner without a scan. */
  bib?: string;
  /** What a correction, withdrawal or ruling is about, as `recordSubject` writes it. */
  subject?: string;
  record: TallyRecord;
}

/** Pulled records in blocks of up to 1,000: a million rows in single rows would take minutes to write. */
export interface RecordBlock {
  race: string;
  block: number;
  /** JSON; blocks that were kept by an older version of the app are lists. `recordsOfBlock` reads both. */
  records: string | TallyRecord[];
  /** What the corrections, withdrawals and rulings in it are about, each preceded by the race. */
  subjects: string[];
}

/** The ids in one block, 16 bytes each, apart from it: whether an id is there must not cost reading the records. */
export interface BlockIds {
  race: string;
  block: number;
  ids: Uint8Array<ArrayBuffer>;
}

/** What is known of one race's records without reading them: counting an index costs 4 µs a row. */
export interface RecordCounters {
  race: string;
  /** This device's name in the race. A race that was erased and joined again gets a new one: its `seq` starts anew. */
  device: string;
  /** The `seq` of own records that the hub has, as ranges: mostly one. */
  handedIn: SeqRange[];
  /** All own records up to this `seq` stand in a hand-off file that was saved. */
  savedSeq: number;
  /** Records of other devices. */
  pulled: number;
  /** Blocks of pulled records. */
  blocks: number;
}

/** Small facts about this device, such as its chosen hand. */
export interface Setting {
  key: string;
  value: unknown;
}

/** This device's link to the hub for one race. */
export interface HubLink {
  race: string;
  role: 'observer' | 'analyst' | 'organiser';
  token: string;
  cursor?: string;
  /** Hub clock minus this device's clock, milliseconds, as the middle of a short round trip showed it. */
  offsetMs?: number;
  /** Milliseconds since 1970 by this device's clock. */
  lastContact?: number;
  /** Own records that the hub did not take, and why. They still wait. */
  refused?: { id: string; reason: string }[];
  /** Version of the hub that refused records as ones it cannot read. */
  hubVersion?: string;
  /** Records read from files here may not be at the hub yet: this link may bring them there. */
  bringPulled?: boolean;
}

/** The tablet's database. Its schema only grows: each change is a new version with its upgrade. */
export class KerbsideDatabase extends Dexie {
  races!: EntityTable<StoredRace, 'id'>;
  startLists!: EntityTable<StoredStartList, 'race'>;
  results!: EntityTable<StoredResults, 'race'>;
  records!: EntityTable<StoredRecord, 'id'>;
  blocks!: Table<RecordBlock, [string, number]>;
  blockIds!: Table<BlockIds, [string, number]>;
  counters!: EntityTable<RecordCounters, 'race'>;
  settings!: EntityTable<Setting, 'key'>;
  hubLinks!: EntityTable<HubLink, 'race'>;
  practiceSessions!: EntityTable<PracticeSession, 'id'>;
  practiceAnswers!: Table<PracticeAnswer, [string, number]>;

  readonly #transactions: OpenTransactions | undefined;

  constructor(name = 'kerbside') {
    // A browser that keeps nothing has no database: Dexie says so when it is opened.
    const transactions = typeof indexedDB === 'undefined' ? undefined : new OpenTransactions(indexedDB);
    // Chromium's default may lose a write that was reported as done when the machine dies: strict flushes first.
    super(name, { chromeTransactionDurability: 'strict', ...(transactions && { indexedDB: transactions }) });
    this.#transactions = transactions;
    this.version(1).stores({
      races: 'id, openedAt',
      startLists: 'race',
      results: 'race',
      records: 'id, [race+seq], [race+waiting+seq], [race+bib], [race+subject]',
      blocks: '[race+block], *subjects',
      blockIds: '[race+block]',
      counters: 'race',
      settings: 'key',
      hubLinks: 'race',
    });
    this.version(2).stores({ records: 'id, &[race+seq], [race+bib], [race+subject]' }).upgrade(rowsThatNeverChange);
    this.version(3).stores({ practiceSessions: 'id, startedAt', practiceAnswers: '[session+position]' });
  }
  /** Lets go of every lock: a page that the browser puts away for the way back must hold none. */
  putAway(): void {
    this.#transactions?.leave();
  }

  /** The page is there again. Whether what it was doing was broken off, so that it has to begin anew. */
  takeUp(): boolean {
    this.#transactions?.comeBack();
    return this.#transactions?.tookBack ?? false;
  }
}
