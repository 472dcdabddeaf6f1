import pg from 'pg';

/** Within this time a host says whether it takes writes, or is passed over. */
const ANSWER_MS = 2_000;

/** What a database's address names: one or several hosts of one database. */
export function hostsOf(url: string): pg.ClientConfig[] {
  const parts = /^(postgres(?:ql)?:\/\/(?:[^@/]*@)?)([^/?]+)(.*)$/.exec(url);
  const [, start = '', hosts = '', rest = ''] = parts ?? [];
  if (!hosts.includes(',')) return [{ connectionString: url }];
  // The hub always looks for the host that takes writes, whether or not the address asks for it.
  const plainRest = rest.replace(/([?&])target_session_attrs=[^&]*&?/, '$1').replace(/[?&]$/, '');
  return hosts.split(',').map((host) => ({ connectionString: `${start}${host}${plainRest}` }));
}

/** No host takes writes just now: the class of PostgreSQL's own errors of connections. */
class NoWriter extends Error {
  readonly code = '08001';
}

/**
 * Connections to that one of several hosts that takes writes. When it is gone, or takes none any more, the next connection
 * looks for the one that was promoted. With one host it is a plain pool.
 */
export class FollowingPool {
  readonly #hosts: readonly pg.ClientConfig[];
  readonly #config: pg.PoolConfig;
  #pool: pg.Pool | undefined;
  #host: pg.ClientConfig;
  #searching: Promise<pg.Pool> | undefined;
  /** Ends the waiting for a connection to the host in use. */
  readonly #waiting = new Set<(error: Error) => void>();
  #ended = false;

  constructor(hosts: readonly pg.ClientConfig[], config: pg.PoolConfig) {
    this.#hosts = hosts;
    this.#config = config;
    this.#host = hosts[0] ?? {};
  }

  /** Kysely reads how the connections are set up. */
  get options(): pg.PoolConfig {
    return this.#config;
  }

  /** The host that was last found to take writes. */
  get host(): pg.ClientConfig {
    return this.#host;
  }

  /** Kysely's way to a connection. */
  async connect(): Promise<pg.PoolClient> {
    const pool = this.#pool ?? (await this.#search());
    if (this.#hosts.length === 1) return pool.connect();
    try {
      return await this.#connectTo(pool);
    } catch {
      this.doubt(pool);
      return (await this.#search()).connect();
    }
  }

  /** Something went wrong that another host might do: the next connection looks for it. */
  doubt(pool = this.#pool): void {
    if (this.#hosts.length === 1 || this.#pool === undefined || pool !== this.#pool) return;
    this.#pool = undefined;
    pool.end().catch(() => undefined);
    // A pool that ends forgets whoever waits in its line: without a word they would wait until their time is up.
    for (const giveUp of this.#waiting) giveUp(new NoWriter('The host was left.'));
    this.#waiting.clear();
  }

  async end(): Promise<void> {
    this.#ended = true;
    await this.#pool?.end();
  }

  /** A connection of the pool, or a fault as soon as its host is doubted. */
  #connectTo(pool: pg.Pool): Promise<pg.PoolClient> {
    return new Promise((resolve, reject) => {
      this.#waiting.add(reject);
      pool.connect().then(
        (client) => {
          if (this.#waiting.delete(reject)) resolve(client);
          else client.release(true);
        },
        (error: Error) => {
          this.#waiting.delete(reject);
          reject(error);
        },
      );
    });
  }

  /** All that wait for a host look for it together. */
  async #search(): Promise<pg.Pool> {
    this.#searching ??= this.#find().finally(() => {
      this.#searching = undefined;
    });
    return this.#searching;
  }

  async #find(): Promise<pg.Pool> {
    if (this.#ended) throw new NoWriter('The store is closed.');
    const timelines = this.#hosts.length === 1 ? [1] : await Promise.all(this.#hosts.map(timelineOfWriter));
    // Of two that take writes the one promoted later stands: the other is an old primary that came back.
    const latest = Math.max(...timelines);
    const host = this.#hosts[timelines.indexOf(latest)];
    if (latest < 1 || !host) throw new NoWriter('None of the hosts in DATABASE_URL takes writes just now.');
    const pool = new pg.Pool({ ...this.#config, ...host });
    // A connection that dies while idle is replaced at the next query; without a listener it would end the process.
    pool.on('error', (error) => console.error(`PostgreSQL: ${error.message}`));
    // So it is with one that dies while in use: its query fails, which is heard of there.
    pool.on('connect', (client) => client.on('error', () => undefined));
    this.#host = host;
    this.#pool = pool;
    return pool;
  }
}

/** A host's timeline, which grows by one with each promotion; 0 when it takes no writes or does not answer. */
async function timelineOfWriter(host: pg.ClientConfig): Promise<number> {
  const client = new pg.Client({ ...host, connectionTimeoutMillis: ANSWER_MS, query_timeout: ANSWER_MS });
  client.on('error', () => undefined);
  try {
    await client.connect();
    const { rows } = await client.query<{ timeline: string | null }>(
      'select case when pg_is_in_recovery() then null else substr(pg_walfile_name(pg_current_wal_lsn()), 1, 8) end as timeline',
    );
    return Number.parseInt(rows[0]?.timeline ?? '0', 16);
  } catch {
    return 0;
  } finally {
    client.end().catch(() => undefined);
  }
}
