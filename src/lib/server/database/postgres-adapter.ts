import { CompiledQuery, Kysely, PostgresDialect, sql, type Transaction } from 'kysely';
import pg from 'pg';
import type { Adapter, Announce, NewRecord } from './adapter.ts';
import { AtMost } from './at-most.ts';
import { type Change, ChangeBus } from '../lists/change.ts';
import type { HubTables } from './hub-tables.ts';
import { StartFault } from '../start-fault.ts';
import { FollowingPool, hostsOf } from './following-pool.ts';
import { errorCode, StorageState } from './storage-state.ts';
import { executedMigrations, migrateToLatest, POSTGRES_DDL } from './migrations.ts';

const CHANNEL = 'kerbside';
const RETRY_MS = 500;
/** Of the connections, so many at most read pages: the others are for those who hand in. */
const MOST_READING = 3;

/** Stands in no record, and in no device's name. Given lists, the driver would escape each quote of each record. */
const SEPARATOR = '\x1f';
const INSERT = `insert into records (race_no, arrival, id, kind, device, owner, body)
  select $1::integer, $2::bigint + t.place, t.id, t.kind, t.device, t.owner, t.body
  from unnest(string_to_array($3, $8), string_to_array($4, $8)::smallint[], string_to_array($5, $8),
      string_to_array($6, $8, ''), string_to_array($7, $8))
    with ordinality as t (id, kind, device, owner, body, place)`;
const INSERT_NEW = `${INSERT}
  on conflict (race_no, id) do nothing
  returning (arrival - $2::bigint)::integer as place`;

/** Put together by the server and prepared once, a page costs half of what it costs row by row. */
const STORED = {
  name: 'stored-text',
  text: `select string_agg(body, ',' order by arrival) as bodies from records
    where race_no = $1 and arrival > $2 and arrival <= $3`,
};

/** Counts and instants stay far below 2^53: as numbers they are what SQLite gives. */
const bigintAsNumber: pg.CustomTypesConfig = {
  getTypeParser: ((oid: number, format?: 'text') =>
    oid === pg.types.builtins.INT8
      ? Number
      : pg.types.getTypeParser(oid, format)) as pg.CustomTypesConfig['getTypeParser'],
};

/**
 * The store in a PostgreSQL that several hub processes may share. Throws when it cannot be reached.
 *
 * @param filled whether there must be tables in it already
 */
export async function openPostgres(url: string, { filled = false } = {}): Promise<Adapter> {
  const hosts = hostsOf(url);
  const pool = new FollowingPool(hosts, {
    application_name: 'kerbside',
    max: 10,
    types: bigintAsNumber,
    // A host that has died without a word is heard of only by this: with another to turn to it is short.
    connectionTimeoutMillis: hosts.length > 1 ? 4_000 : 10_000,
    keepAlive: true,
    // A server set up to answer before the disk has it would break the hub's promise. Records lie in the order of their
    // arrival and are read so: a bitmap of them would be sorted again, which a server that has not analysed them does.
    options: '-c synchronous_commit=on -c enable_bitmapscan=off',
  });
  const db = new Kysely<HubTables>({ dialect: new PostgresDialect({ pool }) });
  if (filled && (await executedMigrations(db)).length === 0) {
    await db.destroy();
    throw new StartFault(
      'The database at DATABASE_URL is empty, but the data folder has the organiser key of a hub. Check DATABASE_URL, or ' +
        'restore the database from its backup. To begin with no race at all, start once with KERBSIDE_NEW=1.',
    );
  }
  await migrateToLatest(db, POSTGRES_DDL, 'The database at DATABASE_URL');
  const { rows } = await sql<{ fsync: string }>`select current_setting('fsync') as fsync`.execute(db);
  if (rows[0]?.fsync !== 'on') {
    console.error('PostgreSQL runs with fsync off: records that were handed in may be lost when the machine dies.');
  }
  const adapter = new PostgresAdapter(db, pool);
  await adapter.startListening();
  return adapter;
}

class PostgresAdapter implements Adapter {
  readonly name = 'postgres';
  readonly locksRows = true;
  /** With the server's message around it, one read of 64 KB: larger texts cost as much again to put together and clear away. */
  readonly pieceCharacters = 60 * 1024;
  readonly storage = new StorageState((error) => this.cannotStore(error));
  readonly db: Kysely<HubTables>;
  readonly #pool: FollowingPool;
  readonly #changes = new ChangeBus();
  readonly #reading = new AtMost(MOST_READING);
  /** Transactions in which a record is known to be there already. */
  readonly #careful = new WeakSet<Transaction<HubTables>>();
  #listener: pg.Client | undefined;
  #closed = false;

  constructor(db: Kysely<HubTables>, pool: FollowingPool) {
    this.db = db;
    this.#pool = pool;
  }

  async insertRecords(
    tx: Transaction<HubTables>,
    raceNo: number,
    base: number,
    rows: readonly NewRecord[],
  ): Promise<readonly boolean[]> {
    const values = [
      raceNo,
      base,
      rows.map((r) => r.id).join(SEPARATOR),
      rows.map((r) => r.kind).join(SEPARATOR),
      rows.map((r) => r.device).join(SEPARATOR),
      rows.map((r) => r.owner ?? '').join(SEPARATOR),
      rows.map((r) => r.body).join(SEPARATOR),
      SEPARATOR,
    ];
    if (!this.#careful.has(tx)) {
      await tx.executeQuery(CompiledQuery.raw(INSERT, values));
      return new Array<boolean>(rows.length).fill(true);
    }
    const { rows: there } = await tx.executeQuery<{ place: number }>(CompiledQuery.raw(INSERT_NEW, values));
    const put = new Array<boolean>(rows.length).fill(false);
    for (const { place } of there) put[place - 1] = true;
    return put;
  }

  /** None while others wait: what is read ahead lies in the memory, once for each reader. */
  get piecesAhead(): number {
    return this.#reading.hasRoom ? MOST_READING : 0;
  }

  storedText(raceNo: number, after: number, upTo: number): Promise<string> {
    return this.#reading.run(async () => {
      const client = await this.#pool.connect();
      try {
        const { rows } = await client.query<{ bodies: string | null }>({ ...STORED, values: [raceNo, after, upTo] });
        return rows[0]?.bodies ?? '';
      } finally {
        client.release();
      }
    });
  }

  /** Classes: no connection, out of resources, told to stop, cannot be serialised; and what the network says. */
  cannotStore(error: unknown): boolean {
    const cannot = /^((08|40|53|57)...|25006|E[A-Z]+)$/.test(errorCode(error)) || isBroken(error);
    // A server that is gone, or was made a standby: another may have been promoted.
    if (cannot && !errorCode(error).startsWith('40')) this.#pool.doubt();
    return cannot;
  }

  /**
   * Most pushes bring nothing that is there already: looking for it would take a fifth of the time. Where a record is, the
   * transaction comes to nothing and is done again with that in mind.
   */
  async write<T>(work: (tx: Transaction<HubTables>, announce: Announce) => Promise<T>): Promise<T> {
    return this.storage.watch(async () => {
      try {
        return await this.#transaction(work, false);
      } catch (error) {
        if (!isKnownRecord(error)) throw error;
        return this.#transaction(work, true);
      }
    });
  }

  #transaction<T>(work: (tx: Transaction<HubTables>, announce: Announce) => Promise<T>, careful: boolean): Promise<T> {
    return this.db.transaction().execute((tx) => {
      if (careful) this.#careful.add(tx);
      return work(tx, async (change) => {
        // PostgreSQL delivers it with the commit, and not at all if there is none.
        await sql`select pg_notify(${CHANNEL}, ${JSON.stringify(change)})`.execute(tx);
      });
    });
  }

  listen(heard: (change: Change | null) => void): () => void {
    return this.#changes.listen(heard);
  }

  /** Listens on a connection of its own, and on a new one when that breaks. */
  async startListening(): Promise<void> {
    const client = new pg.Client({ ...this.#pool.host, application_name: 'kerbside', keepAlive: true });
    let again = false;
    const retry = (): void => {
      if (again || this.#closed) return;
      again = true;
      client.end().catch(() => undefined);
      const timer = setTimeout(() => {
        this.startListening().then(
          () => this.#changes.tell(null),
          () => undefined,
        );
      }, RETRY_MS);
      timer.unref();
    };
    client.on('error', retry);
    client.on('end', retry);
    client.on('notification', ({ payload }) => {
      if (payload) this.#changes.tell(JSON.parse(payload) as Change);
    });
    this.#listener = client;
    try {
      await client.connect();
      await client.query(`listen ${CHANNEL}`);
    } catch (error) {
      retry();
      throw error;
    }
  }

  async afterErase(): Promise<void> {
    // Dead rows leave the files when PostgreSQL vacuums; asking for it here keeps an erased race no longer than needed.
    await sql`vacuum records`.execute(this.db);
  }

  async close(): Promise<void> {
    this.#closed = true;
    await this.#listener?.end().catch(() => undefined);
    await this.db.destroy();
  }
}

/** A record's id was there already. */
function isKnownRecord(error: unknown): boolean {
  return errorCode(error) === '23505' && error instanceof pg.DatabaseError && error.constraint === 'records_id';
}

/** What the driver says of a connection that broke has no code. */
function isBroken(error: unknown): boolean {
  return (
    error instanceof Error && /^Connection terminated|^timeout exceeded when trying to connect/.test(error.message)
  );
}
