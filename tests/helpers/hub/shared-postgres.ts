import { afterAll, beforeAll } from 'vitest';
import { buildIfStale } from '../build-if-stale.ts';
import { startPostgres, type Postgres } from './postgres.ts';

/** Builds what is served and starts a real PostgreSQL for the tests of the file that calls this; there once they run. */
export function sharedPostgres(): Pick<Postgres, 'newDatabase'> {
  let postgres: Postgres | undefined;
  beforeAll(async () => {
    await buildIfStale();
    postgres = await startPostgres();
  }, 180_000);
  afterAll(() => postgres?.stop());
  return { newDatabase: (name) => postgres!.newDatabase(name) };
}
