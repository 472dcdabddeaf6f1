import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { setImmediate as loopGoesRound } from 'node:timers/promises';
import type { Kysely } from 'kysely';
import type { Adapter } from './database/adapter.ts';
import { guardDataFolder, KEY_FILE } from './database/data-folder.ts';
import type { HubTables } from './database/hub-tables.ts';
import { ingest } from './push/ingest.ts';
import { HeldUpNotes } from './limits/held-up.ts';
import { RaceLimits } from './limits/race-limits.ts';
import { openPostgres } from './database/postgres-adapter.ts';
import { PullSlots } from './pull/pull-slots.ts';
import { PushQueue } from './push/push-queue.ts';
import { SecurityLog } from './security-log.ts';
import { openSqlite } from './database/sqlite-adapter.ts';

/** What every call needs. Nothing here has to outlive a restart: all state is in the store. */
export interface Hub {
  readonly adapter: Adapter;
  readonly db: Kysely<HubTables>;
  readonly pushes: PushQueue;
  readonly pulls: PullSlots;
  readonly limits: RaceLimits;
  readonly heldUp: HeldUpNotes;
  readonly security: SecurityLog;
  readonly organiserKey: string;
  /** How many days after its date a race's join codes hold; undefined for ever. */
  readonly codesDays: number | undefined;
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
  readonly codesDays?: number | undefined;
  /** Whether a store that is lost is begun anew. */
  readonly anew?: boolean;
}

/** Opens the store and brings it up to date. Throws a `StartFault` that says why it cannot, or what the database said. */
export async function openHub(config: HubConfig): Promise<Hub> {
  const adapter = await openStore(config);
  const pushes = new PushQueue(
    (raceNo, group) => ingest(adapter, raceNo, group),
    adapter.name === 'sqlite' ? loopGoesRound : undefined,
  );
  return {
    adapter,
    db: adapter.db,
    pushes,
    pulls: new PullSlots(),
    limits: new RaceLimits(),
    heldUp: new HeldUpNotes(adapter),
    security: new SecurityLog(config.now, (line) => console.error(line)),
    organiserKey: config.organiserKey,
    codesDays: config.codesDays,
    now: config.now,
  };
}

async function openStore({ dataFolder, databaseUrl, anew = false }: HubConfig): Promise<Adapter> {
  if (!databaseUrl) return openSqlite(dataFolder, { anew });
  guardDataFolder(dataFolder);
  return openPostgres(databaseUrl, { filled: !anew && existsSync(join(dataFolder, KEY_FILE)) });
}
