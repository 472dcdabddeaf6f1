import type { Kysely, Transaction } from 'kysely';
import type { Change } from '../lists/change.ts';
import type { HubTables } from './hub-tables.ts';
import type { StorageState } from './storage-state.ts';

/** One record on its way into the store. */
export interface NewRecord {
  readonly id: string;
  readonly kind: number;
  readonly device: string;
  readonly owner: string | null;
  readonly body: string;
}

/** What differs between the databases; all else is written once, over kysely. */
export interface Adapter {
  readonly name: 'sqlite' | 'postgres';
  readonly db: Kysely<HubTables>;
  /** Whether a read may ask to lock the rows it finds. SQLite has one writer at a time and needs no such lock. */
  readonly locksRows: boolean;
  /**
   * Characters that a read of a page's records is to bring. Larger ones cost memory for each reader, smaller ones a way to
   * the database and back.
   */
  readonly pieceCharacters: number;
  /** Further pieces of a page to be read now while one is taken: none where the database answers at once. */
  readonly piecesAhead: number;
  /**
   * Puts records at the end of a race's log: row i gets arrival `base + i + 1`. Those whose id is there already are left
   * out. The caller holds the race's lock.
   *
   * @returns for each row whether it was put in
   */
  insertRecords(
    tx: Transaction<HubTables>,
    raceNo: number,
    base: number,
    rows: readonly NewRecord[],
  ): Promise<readonly boolean[]>;
  /**
   * The records of a race that arrived after `after` and up to `upTo`, as they are stored, in the order of their arrival with
   * a comma between them; empty when there are none.
   */
  storedText(raceNo: number, after: number, upTo: number): Promise<string>;
  /** Whether an error of the database means that it cannot store just now, and will again. */
  cannotStore(error: unknown): boolean;
  /** Whether the last write failed so. */
  readonly storage: StorageState;
  /**
   * Runs `work` in one transaction, durable when it resolves; what it announces is heard only if it was committed. It may
   * run twice: then nothing of the first time stays.
   */
  write<T>(work: (tx: Transaction<HubTables>, announce: Announce) => Promise<T>): Promise<T>;
  /** Hears of every change, of this process and of others on the same store. `null`: changes may have been missed. */
  listen(heard: (change: Change | null) => void): () => void;
  /** Called after a race was erased, to leave nothing of it in side files. */
  afterErase(): Promise<void>;
  close(): Promise<void>;
}

export type Announce = (change: Change) => Promise<void>;
