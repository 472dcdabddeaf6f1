import { chmodSync, statSync } from 'node:fs';
import Database from 'better-sqlite3';
import {
  CompiledQuery,
  type DatabaseConnection,
  Kysely,
  type SqliteDatabase,
  SqliteDialect,
  SqliteDriver,
  type Transaction,
} from 'kysely';
import type { Adapter, Announce, NewRecord } from './adapter.ts';
import { type Change, ChangeBus } from '../lists/change.ts';
import type { HubTables } from './hub-tables.ts';
import { guardDataFolder, refuseLostStore, storeFile } from './data-folder.ts';
import { migrateToLatest, SQLITE_DDL } from './migrations.ts';
import { refuseForeign, sqliteStartFault } from './sqlite-start-fault.ts';
import { SqliteWatch } from './sqlite-watch.ts';
import { errorCode, StorageState } from './storage-state.ts';

/** Statements that stay prepared. */
const MOST_PREPARED = 100;
/** Records that one statement puts in: together they take two thirds of the time that they take one by one. */
const GROUP = 50;

const COLUMNS = '(race_no, arrival, id, kind, device, owner, body)';
/** Of one kind and without an owner, as nearly all are: handing over each value takes longer than storing it. */
const INSERT_ALIKE = `with same (race_no, base, kind) as (values (?, ?, ?)),
    given (place, id, device, body) as (values ${Array.from({ length: GROUP }, (_, i) => `(${i + 1}, ?, ?, ?)`).join(', ')})
  insert into records ${COLUMNS}
  select same.race_no, same.base + given.place, given.id, same.kind, given.device, null, given.body
  from given cross join same where true on conflict (race_no, id) do nothing`;

const STORED = 'select body from records where race_no = ? and arrival > ? and arrival <= ? order by arrival';

/** Prepares each statement once: preparing a small one takes longer than running it. */
class PreparedStatements implements SqliteDatabase {
  readonly #database: Database.Database;
  /** By their text, the one used last at the end. */
  readonly #prepared = new Map<string, Database.Statement<unknown[]>>();

  constructor(database: Database.Database) {
    this.#database = database;
  }

  prepare(sql: string): Database.Statement<unknown[]> {
    const statement = this.#prepared.get(sql) ?? this.#database.prepare<unknown[]>(sql);
    this.#prepared.delete(sql);
    this.#prepared.set(sql, statement);
    const [oldest] = this.#prepared.keys();
    if (oldest !== undefined && this.#prepared.size > MOST_PREPARED) this.#prepared.delete(oldest);
    return statement;
  }

  close(): void {
    this.#database.close();
  }
}

/** Takes the write lock at once: a transaction that reads first would fail when another process writes in between. */
class ImmediateDriver extends SqliteDriver {
  override async beginTransaction(connection: DatabaseConnection): Promise<void> {
    await connection.executeQuery(CompiledQuery.raw('begin immediate'));
  }

  /** SQLite ends a transaction by itself when the disk is full; rolling back again would hide why. */
  override async rollbackTransaction(connection: DatabaseConnection): Promise<void> {
    try {
      await super.rollbackTransaction(connection);
    } catch (error) {
      if (!(error instanceof Error && error.message.includes('no transaction is active'))) throw error;
    }
  }
}

class ImmediateDialect extends SqliteDialect {
  readonly #database: SqliteDatabase;

  constructor(database: SqliteDatabase) {
    super({ database });
    this.#database = database;
  }

  override createDriver(): SqliteDriver {
    return new ImmediateDriver({ database: this.#database });
  }
}

/**
 * The store in one file of the data folder, which is made if it is not there.
 *
 * @param anew whether to begin anew where a store has been lost
 * @throws StartFault when it is lost, damaged, newer or cannot be written
 */
export async function openSqlite(dataFolder: string, { anew = false } = {}): Promise<Adapter> {
  try {
    guardDataFolder(dataFolder);
    await refuseLostStore(dataFolder, anew);
    const adapter = await openFile(storeFile(dataFolder));
    // What was made just now is guarded as well.
    guardDataFolder(dataFolder, () => undefined);
    return adapter;
  } catch (error) {
    throw sqliteStartFault(error, dataFolder);
  }
}

async function openFile(file: string): Promise<Adapter> {
  const database = new Database(file, { timeout: 10_000 });
  try {
    refuseForeign(database, file);
    chmodSync(file, statSync(file).mode & 0o700);
    database.pragma('journal_mode = WAL');
    // In WAL mode anything less than FULL may lose the last answers' records when the machine loses power.
    database.pragma('synchronous = FULL');
    database.pragma('foreign_keys = ON');
    // An erased race is overwritten, not only unlinked.
    database.pragma('secure_delete = ON');
    database.pragma('cache_size = -65536');
    // 16 MB: pages that grow batch by batch are then written into the file a few times less often.
    database.pragma('wal_autocheckpoint = 4000');
    database.pragma('journal_size_limit = 67108864');
    const db = new Kysely<HubTables>({ dialect: new ImmediateDialect(new PreparedStatements(database)) });
    await migrateToLatest(db, SQLITE_DDL, file);
    return new SqliteAdapter(database, db);
  } catch (error) {
    database.close();
    throw error;
  }
}

class SqliteAdapter implements Adapter {
  readonly name = 'sqlite';
  readonly locksRows = false;
  readonly pieceCharacters = 64 * 1024;
  readonly piecesAhead = 0;
  readonly storage = new StorageState((error) => this.cannotStore(error));
  readonly db: Kysely<HubTables>;
  readonly #database: Database.Database;
  readonly #insertOne: Database.Statement<unknown[]>;
  readonly #insertGroup: Database.Statement<unknown[]>;
  readonly #insertAlike: Database.Statement<unknown[]>;
  readonly #arrivalsAfter: Database.Statement<[raceNo: number, arrival: number], number>;
  readonly #changes = new ChangeBus();
  /** There while anybody listens. */
  #watch: SqliteWatch | undefined;

  constructor(database: Database.Database, db: Kysely<HubTables>) {
    this.#database = database;
    this.db = db;
    this.#insertOne = database.prepare(insertRows(1));
    this.#insertGroup = database.prepare(insertRows(GROUP));
    this.#insertAlike = database.prepare(INSERT_ALIKE);
    this.#arrivalsAfter = database
      .prepare<[number, number], number>('select arrival from records where race_no = ? and arrival > ?')
      .pluck();
  }

  /** Runs on the one connection there is, so within the caller's transaction. */
  insertRecords(
    _tx: Transaction<HubTables>,
    raceNo: number,
    base: number,
    rows: readonly NewRecord[],
  ): Promise<readonly boolean[]> {
    let put = 0;
    for (let from = 0; from < rows.length;) {
      const group = rows.slice(from, from + (rows.length - from < GROUP ? 1 : GROUP));
      put += this.#insertTogether(raceNo, base + from, group);
      from += group.length;
    }
    if (put === rows.length) return Promise.resolve(rows.map(() => true));
    const arrivals = new Set(this.#arrivalsAfter.all(raceNo, base));
    return Promise.resolve(rows.map((_, i) => arrivals.has(base + i + 1)));
  }

  /** @returns how many of one record, or of a group of them, were put in */
  #insertTogether(raceNo: number, base: number, group: readonly NewRecord[]): number {
    const [{ kind }] = group as readonly [NewRecord];
    if (group.length === GROUP && group.every((r) => r.kind === kind && r.owner === null)) {
      const values: unknown[] = [raceNo, base, kind];
      for (const { id, device, body } of group) values.push(id, device, body);
      return this.#insertAlike.run(values).changes;
    }
    const values = group.flatMap((r, i) => [raceNo, base + i + 1, r.id, r.kind, r.device, r.owner, r.body]);
    return (group.length === 1 ? this.#insertOne : this.#insertGroup).run(values).changes;
  }

  /** On the one connection there is: it waits for a transaction under way, and never sees half of one. */
  async storedText(raceNo: number, after: number, upTo: number): Promise<string> {
    const { rows } = await this.db.executeQuery<{ body: string }>(CompiledQuery.raw(STORED, [raceNo, after, upTo]));
    return rows.map(({ body }) => body).join(',');
  }

  cannotStore(error: unknown): boolean {
    return /^SQLITE_(FULL|IOERR|BUSY|READONLY|CANTOPEN)/.test(errorCode(error));
  }

  async write<T>(work: (tx: Transaction<HubTables>, announce: Announce) => Promise<T>): Promise<T> {
    const announced: Change[] = [];
    const result = await this.storage.watch(() =>
      this.db.transaction().execute((tx) =>
        work(tx, (change) => {
          announced.push(change);
          return Promise.resolve();
        }),
      ),
    );
    for (const change of announced) {
      this.#watch?.note(change);
      this.#changes.tell(change);
    }
    return result;
  }

  listen(heard: (change: Change | null) => void): () => void {
    this.#watch ??= new SqliteWatch(this.#database.name, (change) => this.#changes.tell(change));
    const silence = this.#changes.listen(heard);
    return () => {
      silence();
      if (!this.#changes.isHeard) this.#stopWatching();
    };
  }

  #stopWatching(): void {
    this.#watch?.close();
    this.#watch = undefined;
  }

  afterErase(): Promise<void> {
    this.#database.pragma('wal_checkpoint(TRUNCATE)');
    return Promise.resolve();
  }

  async close(): Promise<void> {
    this.#stopWatching();
    await this.db.destroy();
  }
}

function insertRows(count: number): string {
  return `insert into records ${COLUMNS}
    values ${new Array(count).fill('(?, ?, ?, ?, ?, ?, ?)').join(', ')} on conflict (race_no, id) do nothing`;
}
