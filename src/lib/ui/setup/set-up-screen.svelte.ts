import { instantOfWallClock } from '../../race/wall-clock.ts';
import type { KerbsideDatabase } from '../../store/database.ts';
import { loadResults, loadStartList, saveResults, saveStartList } from '../../store/race/races.ts';
import { hearOfSetUp } from '../../store/race/set-up-news.ts';
import { sightedBibs } from '../../store/records/sighted-bibs.ts';
import { knownOfDraft } from './known-of-draft.ts';
import { ListImport } from './list-import.svelte.ts';
import { SetUp } from './set-up.svelte.ts';

/** The set-up of one race with its start list and results, following what other tabs and the hub change. */
export class SetUpScreen {
  readonly raceId: string;
  readonly setUp: SetUp;
  readonly startList: ListImport<'startlist'>;
  readonly results: ListImport<'results'>;

  constructor(db: KerbsideDatabase, raceId: string) {
    this.raceId = raceId;
    const setUp = new SetUp(db, raceId);
    this.setUp = setUp;
    this.startList = new ListImport('startlist', {
      load: async () => (await loadStartList(db, raceId)).rows,
      save: (rows) => saveStartList(db, raceId, rows),
      known: () => knownOfDraft(setUp.draft),
      startOfWallClock: (text) =>
        setUp.draft ? instantOfWallClock(setUp.draft.date, text, setUp.draft.timeZone) : null,
    });
    this.results = new ListImport('results', {
      load: async () => (await loadResults(db, raceId)).rows,
      save: (rows) => saveResults(db, raceId, rows),
      known: () => knownOfDraft(setUp.draft),
      sightedBibs: () => sightedBibs(db, raceId),
    });
  }

  /** Reads the race and follows its changes until the function that comes back is called. */
  start(): () => void {
    void this.setUp.read();
    this.#readLists();
    return hearOfSetUp(this.raceId, () => {
      void this.setUp.hear();
      this.#readLists();
    });
  }

  #readLists(): void {
    void this.startList.readKept();
    void this.results.readKept();
  }
}
