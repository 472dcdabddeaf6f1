import { expect, test } from 'vitest';
import { FollowingPool, hostsOf } from '../../src/lib/server/database/following-pool.ts';
import { sharedPostgres } from '../helpers/hub/shared-postgres.ts';

const postgres = sharedPostgres();

test('whoever waits in line at a host that is left gets a connection to the one that takes writes', async () => {
  const url = await postgres.newDatabase('left-host');
  // One server under two names: both take writes.
  const hosts = hostsOf(url.replace(/@127\.0\.0\.1:(\d+)/, '@127.0.0.1:$1,localhost:$1'));
  // Without a time limit nobody hears of a host that was left but by being told.
  const pool = new FollowingPool(hosts, { max: 1, connectionTimeoutMillis: 0 });
  const first = await pool.connect();
  const inLine = Promise.all(
    [pool.connect(), pool.connect()].map(async (connecting) => {
      const client = await connecting;
      const { rows } = await client.query<{ one: number }>('select 1 as one');
      client.release();
      return rows;
    }),
  );
  pool.doubt();
  expect(await inLine).toEqual([[{ one: 1 }], [{ one: 1 }]]);
  first.release();
  await pool.end();
});
