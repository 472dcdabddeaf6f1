import Database from 'better-sqlite3';
import type { Change } from '../lists/change.ts';

/** Together with the time for which a stream gathers this stays well below the second that the hub promises. */
const LOOK_EVERY_MS = 250;

/** How far each race's records, set-up and lists have come. */
const VERSIONS = `
  select race_no as raceNo, 'records' as what, last_arrival as version from race_logs
  union all select race_no, 'race', revision from races
  union all select race_no, what, revision from lists`;

interface Version {
  readonly raceNo: number;
  readonly what: 'records' | 'race' | 'startlist' | 'results';
  readonly version: number;
}

/**
 * Tells of what other processes commit to the same SQLite file: SQLite itself tells nobody. It looks on a connection of its
 * own, which sees only what is committed.
 */
export class SqliteWatch {
  readonly #database: Database.Database;
  readonly #tell: (change: Change) => void;
  readonly #timer: NodeJS.Timeout;
  readonly #versions = new Map<string, number>();
  #dataVersion: unknown;

  constructor(file: string, tell: (change: Change) => void) {
    this.#database = new Database(file, { readonly: true });
    this.#tell = tell;
    this.#newVersions();
    this.#timer = setInterval(() => this.#look(), LOOK_EVERY_MS);
    this.#timer.unref();
  }

  /** Takes note of what this process has told already. */
  note(change: Change): void {
    this.#isNew(asVersion(change));
  }

  close(): void {
    clearInterval(this.#timer);
    this.#database.close();
  }

  #look(): void {
    try {
      for (const version of this.#newVersions()) this.#tell(asChange(version));
    } catch (error) {
      // The next look finds it as well.
      console.error(error);
    }
  }

  #newVersions(): Version[] {
    const dataVersion = this.#database.pragma('data_version', { simple: true });
    if (dataVersion === this.#dataVersion) return [];
    const versions = this.#database.prepare<[], Version>(VERSIONS).all();
    this.#dataVersion = dataVersion;
    return versions.filter((version) => this.#isNew(version));
  }

  #isNew({ raceNo, what, version }: Version): boolean {
    const key = `${raceNo} ${what}`;
    const isNew = this.#versions.get(key) !== version;
    this.#versions.set(key, version);
    return isNew;
  }
}

function asVersion(change: Change): Version {
  return change.kind === 'records'
    ? { raceNo: change.raceNo, what: 'records', version: change.arrival }
    : { raceNo: change.raceNo, what: change.what, version: change.revision };
}

function asChange({ raceNo, what, version }: Version): Change {
  return what === 'records'
    ? { kind: 'records', raceNo, arrival: version, devices: null }
    : { kind: 'setup', raceNo, what, revision: version };
}
