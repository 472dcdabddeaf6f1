import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { CompiledQuery, type DatabaseConnection, Kysely, SqliteDialect, SqliteDriver, type Transaction } from 'kysely';
import type { Adapter, Announce, NewRecord } from './adapter.ts';
import { type Change, ChangeBus } from './change.ts';
import type { HubTables } from './hub-tables.ts';
import { migrateToLatest } from './migrations.ts';

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
  readonly #database: Database.Database;

  constructor(database: Database.Database) {
    super({ database });
    this.#database = database;
  }

  override createDriver(): SqliteDriver {
    return new ImmediateDriver({ database: this.#database });
  }
}

/** The store in one file of the data folder, which is made if it is not there. Throws when it cannot be written. */
export async function openSqlite(dataFolder: string): Promise<Adapter> {
  mkdirSync(dataFolder, { recursive: true, mode: 0o700 });
  const database = new Database(join(dataFolder, 'hub.sqlite'), { timeout: 10_000 });
  database.pragma('journal_mode = WAL');
  // In WAL mode anything less than FULL may lose the last answers' records when the machine loses power.
  database.pragma('synchronous = FULL');
  database.pragma('foreign_keys = ON');
  // An erased race is overwritten, not only unlinked.
  database.pragma('secure_delete = ON');
  database.pragma('cache_size = -65536');
  database.pragma('journal_size_limit = 67108864');
  const db = new Kysely<HubTables>({ dialect: new ImmediateDialect(database) });
  await migrateToLatest(db, {
    numberedKey: 'integer primary key autoincrement',
    byteText: 'text',
    clustered: 'without rowid',
  });
  return new SqliteAdapter(database, db);
}

class SqliteAdapter implements Adapter {
  readonly name = 'sqlite';
  readonly locksRows = false;
  readonly db: Kysely<HubTables>;
  readonly #database: Database.Database;
  readonly #insert: Database.Statement;
  readonly #changes = new ChangeBus();

  constructor(database: Database.Database, db: Kysely<HubTables>) {
    this.#database = database;
    this.db = db;
    this.#insert = database.prepare(
      `insert into records (race_no, arrival, id, kind, device, owner, body) values (?, ?, ?, ?, ?, ?, ?)
       on conflict (race_no, id) do nothing`,
    );
  }

  /** Runs on the one connection there is, so within the caller's transaction. */
  insertRecords(
    _tx: Transaction<HubTables>,
    raceNo: number,
    base: number,
    rows: readonly NewRecord[],
  ): Promise<readonly boolean[]> {
    const put = new Array<boolean>(rows.length);
    for (let i = 0; i < rows.length; i += 1) {
      const { id, kind, device, owner, body } = rows[i] as NewRecord;
      put[i] = this.#insert.run(raceNo, base + i + 1, id, kind, device, owner, body).changes === 1;
    }
    return Promise.resolve(put);
  }

  async write<T>(work: (tx: Transaction<HubTables>, announce: Announce) => Promise<T>): Promise<T> {
    const announced: Change[] = [];
    const result = await this.db.transaction().execute((tx) =>
      work(tx, (change) => {
        announced.push(change);
        return Promise.resolve();
      }),
    );
    for (const change of announced) this.#changes.tell(change);
    return result;
  }

  listen(heard: (change: Change | null) => void): () => void {
    return this.#changes.listen(heard);
  }

  afterErase(): Promise<void> {
    this.#database.pragma('wal_checkpoint(TRUNCATE)');
    return Promise.resolve();
  }

  async close(): Promise<void> {
    await this.db.destroy();
  }
}
