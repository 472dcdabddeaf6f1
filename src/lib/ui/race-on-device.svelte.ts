import type { Race } from '../race/race.ts';
import type { KerbsideDatabase } from '../store/database.ts';
import { findRace } from '../store/race/races.ts';

/** A race of this device, read once, for a page that shows it as it is. */
export class RaceOnDevice {
  readonly raceId: string;
  readonly #db: KerbsideDatabase;
  #race = $state.raw<Race>();
  #demo = $state(false);
  #missing = $state(false);

  constructor(db: KerbsideDatabase, raceId: string) {
    this.#db = db;
    this.raceId = raceId;
  }

  /** `undefined` until it is read, and where this device has no such race. */
  get race() {
    return this.#race;
  }
  /** Whether it is an invented race. */
  get demo() {
    return this.#demo;
  }
  /** Whether it was looked for in vain. */
  get missing() {
    return this.#missing;
  }

  async read(): Promise<void> {
    const stored = await findRace(this.#db, this.raceId).catch(() => undefined);
    this.#race = stored?.race;
    this.#demo = stored?.demo === true;
    this.#missing = !stored;
  }
}
