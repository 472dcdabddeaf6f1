import { type Kysely, type Migration, Migrator, sql } from 'kysely';
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

/** Only ever added to: a store that was made by an earlier version runs those that it has not seen. */
function migrations(ddl: Ddl): Record<string, Migration> {
  return {
    '0001-first': {
      async up(db) {
        for (const statement of firstTables(ddl)) await sql.raw(statement).execute(db);
      },
    },
  };
}

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

/** Brings the store to the newest form. Processes that start at once wait for each other. */
export async function migrateToLatest(db: Kysely<HubTables>, ddl: Ddl): Promise<void> {
  const migrator = new Migrator({ db, provider: { getMigrations: () => Promise.resolve(migrations(ddl)) } });
  const { error } = await migrator.migrateToLatest();
  if (error) throw error instanceof Error ? error : new Error('The store could not be brought up to date.');
}
