import { type Kysely, sql } from 'kysely';
import { type Migration, Migrator } from 'kysely/migration';
import { StartFault } from '../start-fault.ts';
import type { HubTables } from './hub-tables.ts';

/** The words in which the databases differ when tables are made. */
export interface Ddl {
  /** Type of a column that numbers its rows and is the table's key. */
  readonly numberedKey: string;
  /** Type of a text whose order is that of its bytes. */
  readonly byteText: string;
  /** What follows a table whose rows are to lie in the order of its primary key. */
  readonly clustered: string;
}

export const SQLITE_DDL: Ddl = {
  numberedKey: 'integer primary key autoincrement',
  byteText: 'text',
  clustered: 'without rowid',
};
export const POSTGRES_DDL: Ddl = {
  numberedKey: 'integer generated always as identity primary key',
  byteText: 'text collate "C"',
  clustered: '',
};

/**
 * The statements of each migration. Only ever added to: a store that was made by an earlier version runs those that it has
 * not seen, and never one again. The test beside this holds what has landed.
 */
export const MIGRATIONS: Readonly<Record<string, (ddl: Ddl) => readonly string[]>> = {
  '0001-first': firstTables,
  '0002-wrong-joins': wrongJoins,
  '0003-lifted-limits': liftedLimits,
  '0004-held-up': heldUp,
};

function firstTables({ numberedKey, byteText, clustered }: Ddl): string[] {
  const ofRace = 'race_no integer not null references races (race_no)';
  return [
    `create table races (race_no ${numberedKey}, id ${byteText} not null unique, setup text not null,
      revision bigint not null)`,
    `create table race_logs (${ofRace}, log text not null, last_arrival bigint not null, checkpoints text not null,
      used text not null, early bigint not null, primary key (race_no))`,
    // No reference to races here: it would be looked up for each record, and only a locked race_logs row lets one in.
    `create table records (race_no integer not null, arrival bigint not null, id ${byteText} not null,
      kind smallint not null, device text not null, owner text, body text not null, primary key (race_no, arrival))
      ${clustered}`,
    // Ids begin with their time, so this index grows at its end.
    'create unique index records_id on records (race_no, id)',
    `create table early_targets (${ofRace}, target ${byteText} not null, arrival bigint not null,
      primary key (race_no, target, arrival))`,
    `create table refused (no ${numberedKey}, ${ofRace}, record_id text not null, body_hash text not null,
      reason text not null, body text not null, brought_by text, at bigint not null,
      unique (race_no, record_id, body_hash))`,
    `create table lists (${ofRace}, what text not null, revision bigint not null, rows text not null,
      bibs text not null, primary key (race_no, what))`,
    `create table codes (${ofRace}, role text not null, code text not null, code_hash text not null unique,
      primary key (race_no, role))`,
    `create table tokens (token_hash text not null primary key, key text not null, ${ofRace}, device text not null,
      role text not null, joined_at bigint not null, unique (race_no, device), unique (race_no, key))`,
    `create table devices (${ofRace}, device text not null, observer text, records bigint not null,
      last_seq bigint not null, offset_ms bigint, last_contact bigint, primary key (race_no, device))`,
    'create table wrong_joins (address text not null primary key, times text not null, latest bigint not null)',
  ];
}

/**
 * The first migration was changed on its second day, so that stores of two forms say that they have run it: the older form
 * had a row for each wrong code. What the table holds is worth a minute at most.
 */
function wrongJoins(): string[] {
  return [
    'drop table wrong_joins',
    'create table wrong_joins (address text not null primary key, times text not null, latest bigint not null)',
  ];
}

function liftedLimits(): string[] {
  return [
    `create table lifted (race_no integer not null references races (race_no), device text not null,
      primary key (race_no, device))`,
  ];
}

function heldUp(): string[] {
  return [
    'alter table tokens add column code_hash text',
    `create table held_up (race_no integer not null references races (race_no), device text not null,
      limit_name text not null, since bigint not null, latest bigint not null, refused bigint not null,
      primary key (race_no, device, limit_name))`,
  ];
}

function asMigrations(ddl: Ddl): Record<string, Migration> {
  return Object.fromEntries(
    Object.entries(MIGRATIONS).map(([name, statements]) => [
      name,
      {
        async up(db: Kysely<unknown>) {
          for (const statement of statements(ddl)) await sql.raw(statement).execute(db);
        },
      },
    ]),
  );
}

/**
 * Brings the store to the newest form. Processes that start at once wait for each other. A store that a newer version has
 * changed is left alone.
 *
 * @param store the store's name in a message
 */
export async function migrateToLatest(db: Kysely<HubTables>, ddl: Ddl, store: string): Promise<void> {
  const migrator = new Migrator({ db, provider: { getMigrations: () => Promise.resolve(asMigrations(ddl)) } });
  const unknown = (await executedMigrations(db)).filter((name) => !Object.hasOwn(MIGRATIONS, name));
  if (unknown.length > 0) {
    throw new StartFault(
      `${store} was written by a newer Kerbside (${unknown.join(', ')}). Start that version, or a later one.`,
    );
  }
  const { error } = await migrator.migrateToLatest();
  if (error) throw error instanceof Error ? error : new Error('The store could not be brought up to date.');
}

/** Names of the migrations that the store has run; none when it is empty. */
export async function executedMigrations(db: Kysely<HubTables>): Promise<string[]> {
  const tables = await db.introspection.getTables({ withInternalKyselyTables: true });
  if (!tables.some(({ name }) => name === 'kysely_migration')) return [];
  const { rows } = await sql<{ name: string }>`select name from kysely_migration`.execute(db);
  return rows.map(({ name }) => name);
}
