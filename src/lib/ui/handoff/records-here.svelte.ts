import { countByDevice, talliedByDevice, type DeviceCount } from '../../records/missing-records.ts';
import type { Role } from '../../records/roles.ts';
import type { KerbsideDatabase, StoredRace } from '../../store/database.ts';
import { findRace } from '../../store/race/races.ts';
import { ownDevice, recordCounts, type RecordCounts } from '../../store/records/record-counters.ts';
import { allRecords } from '../../store/records/records.ts';
import { browserSurroundings } from '../browser-surroundings.ts';

/** Up to here the gaps are looked for anew without being asked: it reads every record. */
const FEW_RECORDS = 20_000;

/** What this device holds of a race: the race itself, how many records, and which of other devices' it lacks. */
export class RecordsHere {
  #stored = $state.raw<StoredRace>();
  #device = $state('');
  #counts = $state.raw<RecordCounts>({ lastSeq: 0, tallied: 0, waiting: 0, savedSeq: 0, pulled: 0 });
  #tallied = $state.raw(talliedByDevice([]));
  #missing = $state.raw<readonly DeviceCount[] | null>(null);
  readonly #db: KerbsideDatabase;
  readonly #raceId: string;

  constructor(db: KerbsideDatabase, raceId: string) {
    this.#db = db;
    this.#raceId = raceId;
  }

  get stored() {
    return this.#stored;
  }
  /** This device's name. */
  get device() {
    return this.#device;
  }
  get counts() {
    return this.#counts;
  }
  /** Runners tallied by each device. */
  get tallied() {
    return this.#tallied;
  }
  /** What each device made and what of it is not here; `null` until it is looked for. */
  get missing() {
    return this.#missing;
  }

  async read(): Promise<void> {
    this.#stored = await findRace(this.#db, this.#raceId);
    if (!this.#stored) return;
    this.#counts = await recordCounts(this.#db, this.#raceId);
    const { now, randomBytes } = browserSurroundings;
    this.#device = await ownDevice(this.#db, this.#raceId, { now: now(), randomBytes });
  }

  /** Looks through every record for what is missing. */
  async look(role: Role | null): Promise<void> {
    const records = await allRecords(this.#db, this.#raceId);
    this.#tallied = talliedByDevice(records);
    const counted = countByDevice(records);
    // An observer's device was never to have the records of others.
    this.#missing = role === 'observer' ? counted.filter(({ device }) => device === this.#device) : counted;
  }

  async readAndLook(role: Role | null): Promise<void> {
    await this.read();
    await this.look(role);
  }

  /** After an exchange: with very many records only the counts are read anew. */
  async readAndLookIfQuick(role: Role | null): Promise<void> {
    await this.read();
    if (this.#counts.lastSeq + this.#counts.pulled <= FEW_RECORDS) await this.look(role);
  }
}
