import type { Kysely } from 'kysely';
import type { Adapter } from './database/adapter.ts';
import type { HubTables } from './database/hub-tables.ts';
import { ingest } from './push/ingest.ts';
import { openPostgres } from './database/postgres-adapter.ts';
import { PushQueue } from './push/push-queue.ts';
import { openSqlite } from './database/sqlite-adapter.ts';

/** What every call needs. Nothing here matters after a restart: all state is in the store. */
export interface Hub {
  readonly adapter: Adapter;
  readonly db: Kysely<HubTables>;
  readonly pushes: PushQueue;
  readonly organiserKey: string;
  /** The clock, milliseconds since 1970. */
  readonly now: () => number;
}

export interface HubConfig {
  /** Folder for the SQLite file. */
  readonly dataFolder: string;
  /** `postgres://…`, or undefined for SQLite. */
  readonly databaseUrl: string | undefined;
  readonly organiserKey: string;
  readonly now: () => number;
}

/** Opens the store and brings it up to date. Throws when it cannot be reached or written. */
export async function openHub(config: HubConfig): Promise<Hub> {
  const adapter = config.databaseUrl ? await openPostgres(config.databaseUrl) : await openSqlite(config.dataFolder);
  const pushes = new PushQueue((raceNo, group) => ingest(adapter, raceNo, group));
  return { adapter, db: adapter.db, pushes, organiserKey: config.organiserKey, now: config.now };
}
