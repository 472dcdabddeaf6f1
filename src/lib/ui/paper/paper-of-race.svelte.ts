import { BibList } from '../../race/bib-list.ts';
import type { Race } from '../../race/race.ts';
import type { KerbsideDatabase } from '../../store/database.ts';
import { findRace, loadStartList } from '../../store/race/races.ts';
import { PaperSheet } from './paper-sheet.svelte.ts';
import { browserMoment } from '../browser-surroundings.ts';

/** A race of this device with an empty sheet to key in. */
export class PaperOfRace {
  readonly #db: KerbsideDatabase;
  readonly #raceId: string;
  #race = $state.raw<Race>();
  #sheet = $state.raw<PaperSheet>();
  #missing = $state(false);

  constructor(db: KerbsideDatabase, raceId: string) {
    this.#db = db;
    this.#raceId = raceId;
  }

  /** `undefined` until it is read, and where this device has no such race. */
  get race() {
    return this.#race;
  }
  get sheet() {
    return this.#sheet;
  }
  /** Whether the race was looked for in vain. */
  get missing() {
    return this.#missing;
  }

  async read(): Promise<void> {
    const [stored, list] = await Promise.all([
      findRace(this.#db, this.#raceId),
      loadStartList(this.#db, this.#raceId),
    ]).catch(() => []);
    this.#race = stored?.race;
    this.#missing = !stored;
    if (!stored || !list) return;
    this.#sheet = new PaperSheet({
      ...{ db: this.#db, race: stored.race, bibs: new BibList(list.rows.map((row) => row.bib)) },
      timeZone: Intl.DateTimeFormat().resolvedOptions().timeZone,
      moment: browserMoment,
    });
  }
}
