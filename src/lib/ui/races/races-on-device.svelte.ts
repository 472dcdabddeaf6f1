import { newId } from '../../records/new-id.ts';
import type { KerbsideDatabase, StoredRace } from '../../store/database.ts';
import { eraseRace, findRace, listRaces, saveRace, saveResults, saveStartList } from '../../store/race/races.ts';
import { addPulledRecords } from '../../store/records/pulled-records.ts';
import { recordCounts, type RecordCounts } from '../../store/records/record-counters.ts';
import { storeFailure, storeFailureWords } from '../../store/store-failure.ts';
import { browserSurroundings } from '../browser-surroundings.ts';

/** One race of the list with what stands to be lost when it is erased. */
export interface ListedRace {
  readonly stored: StoredRace;
  readonly counts: RecordCounts;
  /** Records made here that neither the hub nor a saved file has. */
  readonly onlyHere: number;
}

/** The races on this device: listing, making, opening the invented one, erasing. */
export class RacesOnDevice {
  #races = $state.raw<readonly ListedRace[] | null>(null);
  #busy = $state('');
  #problem = $state('');
  readonly #db: KerbsideDatabase;

  constructor(db: KerbsideDatabase) {
    this.#db = db;
  }

  /** The race opened last first; `null` until they are read. */
  get races() {
    return this.#races;
  }
  /** What is being done now, in words; empty when nothing is. */
  get busy() {
    return this.#busy;
  }
  get problem() {
    return this.#problem;
  }

  async read(): Promise<void> {
    await this.#work('', async () => {
      const races = await listRaces(this.#db);
      this.#races = await Promise.all(
        races.map(async (stored) => {
          const counts = await recordCounts(this.#db, stored.id);
          // What stands in a saved file counts as safe up to its last seq, what the hub has as safe anyway.
          const onlyHere = Math.min(counts.waiting, Math.max(0, counts.lastSeq - counts.savedSeq));
          return { stored, counts, onlyHere };
        }),
      );
    });
  }

  /** Makes a race without checkpoints, to be set up. Returns its id, or nothing when the device could not keep it. */
  async make(name: string, date: string): Promise<string | undefined> {
    return this.#work('Making the race …', async () => {
      const now = browserSurroundings.now();
      const id = newId(now, browserSurroundings.randomBytes);
      const { timeZone } = Intl.DateTimeFormat().resolvedOptions();
      await saveRace(this.#db, { id, name, date, timeZone, checkpoints: [], observers: [] }, now);
      return id;
    });
  }

  /** Puts the invented race on this device, unless it is here already. Returns its id. */
  async openDemo(): Promise<string | undefined> {
    return this.#work('Inventing a race …', async () => {
      const { demoRace } = await import('../../demo/demo-race.ts');
      const demo = demoRace();
      const { id } = demo.race;
      if (await findRace(this.#db, id)) return id;
      const now = browserSurroundings.now();
      const { randomBytes } = browserSurroundings;
      // The race last: while it is not in the list nobody opens half of it.
      await saveStartList(this.#db, id, demo.startList);
      await saveResults(this.#db, id, demo.results);
      const added = await addPulledRecords(this.#db, id, demo.records, { now, randomBytes });
      if (!added.ok) throw new Error(storeFailureWords(added.error));
      await saveRace(this.#db, demo.race, now, true);
      return id;
    });
  }

  /** Erases a race from this device when `typed` is its name. */
  async erase(stored: StoredRace, typed: string): Promise<void> {
    if (typed.trim() !== stored.race.name) return;
    await this.#work('Erasing …', () => eraseRace(this.#db, stored.id));
    await this.read();
  }

  async #work<Result>(busy: string, work: () => Promise<Result>): Promise<Result | undefined> {
    this.#busy = busy;
    this.#problem = '';
    try {
      return await work();
    } catch (error) {
      this.#problem = `This did not work. ${storeFailureWords(storeFailure(error))}`;
      return undefined;
    } finally {
      this.#busy = '';
    }
  }
}
