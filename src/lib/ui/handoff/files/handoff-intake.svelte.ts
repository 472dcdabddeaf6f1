import { dateWords } from '../../../words/date-words.ts';
import { sameSetUp, standingRace } from '../../../race/canonical-race.ts';
import type { Race } from '../../../race/race.ts';
import type { TallyRecord } from '../../../records/record.ts';
import { conflictingRecords } from '../../../store/records/conflicting-records.ts';
import type { KerbsideDatabase } from '../../../store/database.ts';
import { changeHubLink, findHubLink } from '../../../store/hub/hub-links.ts';
import { takeSetUp } from '../../../store/hub/hub-set-up.ts';
import { addPulledRecords } from '../../../store/records/pulled-records.ts';
import { findRace } from '../../../store/race/races.ts';
import { storeFailure, storeFailureWords } from '../../../store/store-failure.ts';
import {
  readHandoffFiles,
  type HandoffContent,
  type HandoffFault,
  type HandoffSource,
} from '../../../tables/handoff-file.ts';
import { browserSurroundings } from '../../browser-surroundings.ts';

/** What came of taking hand-off files. */
export interface HandoffTaken {
  readonly race: Race;
  readonly records: number;
  readonly added: number;
  /** Ids that are here with other content: what was here stays. */
  readonly conflicts: readonly string[];
  /** A set-up in the files that is newer than the one here, for a person to take or leave. */
  readonly newerSetUp: Race | null;
}

/** More in a step would be faster, and hold the page for longer than a tap may wait. */
const ADDED_AT_ONCE = 2_000;
const FAULTS_SHOWN = 20;

/** The way of hand-off files into this device, however they came: looked through as a whole first, then kept. */
export class HandoffIntake {
  #progress = $state(0);
  #taken = $state.raw<HandoffTaken | null>(null);
  #faults = $state.raw<readonly HandoffFault[]>([]);
  #problem = $state('');
  readonly #db: KerbsideDatabase;
  readonly #onBrought: () => void;

  /** @param onBrought called when records came that the hub may not have */
  constructor(db: KerbsideDatabase, onBrought: () => void) {
    this.#db = db;
    this.#onBrought = onBrought;
  }

  /** 0 to 1. */
  get progress() {
    return this.#progress;
  }
  get taken() {
    return this.#taken;
  }
  get faults() {
    return this.#faults.slice(0, FAULTS_SHOWN);
  }
  get furtherFaults() {
    return Math.max(0, this.#faults.length - FAULTS_SHOWN);
  }
  get problem() {
    return this.#problem;
  }

  /** Forgets what was said of the last files. */
  forget(): void {
    this.#progress = 0;
    this.#taken = null;
    this.#faults = [];
    this.#problem = '';
  }

  /** Says why nothing was taken. */
  refuse(problem: string): void {
    this.#problem = problem;
  }

  /** Says at which lines something is wrong, so that nothing was taken. */
  refuseFor(faults: readonly HandoffFault[]): void {
    this.#faults = faults;
  }

  /**
   * Whether this race may be taken here; if not, it is said as `problem`.
   *
   * @param what the files are called in a sentence, `These files` or `These codes`
   */
  admits(race: Race, what: string, expectedRace: string | undefined): boolean {
    if (expectedRace === undefined || race.id === expectedRace) return true;
    this.#problem = `${what} hold another race: ${race.name}, ${dateWords(race.date)}. Read them on the page “Join a race”.`;
    return false;
  }

  /**
   * Reads files without keeping anything. `null` when one has a fault, or brings another race than `expectedRace`: said
   * as `faults` or `problem`.
   *
   * @param bytes of all files together
   * @param what as in `admits`
   */
  async look(
    sources: readonly HandoffSource[],
    bytes: number,
    what: string,
    expectedRace?: string,
  ): Promise<HandoffContent | null> {
    this.forget();
    let read = 0;
    const content = await readHandoffFiles(sources, (count) => {
      read += count;
      this.#progress = read / (bytes + 1) / 2;
    });
    if (!content.ok) {
      this.#faults = content.error.faults;
      return null;
    }
    return this.admits(content.value.race, what, expectedRace) ? content.value : null;
  }

  /** Keeps what was looked through. */
  async keep({ race, records }: HandoffContent): Promise<void> {
    try {
      await this.#keep(race, records);
    } catch (error) {
      this.#problem = storeFailureWords(storeFailure(error));
    }
  }

  async #keep(race: Race, records: readonly TallyRecord[]): Promise<void> {
    const before = await findRace(this.#db, race.id);
    if (!before) await takeSetUp(this.#db, race, browserSurroundings.now());
    const conflicts = before ? await conflictingRecords(this.#db, race.id, records) : [];
    let added = 0;
    for (let from = 0; from < records.length; from += ADDED_AT_ONCE) {
      const { now, randomBytes } = browserSurroundings;
      const part = records.slice(from, from + ADDED_AT_ONCE);
      const kept = await addPulledRecords(this.#db, race.id, part, { now: now(), randomBytes });
      if (!kept.ok) {
        this.#problem = storeFailureWords(kept.error);
        break;
      }
      added += kept.value.added;
      this.#progress = 0.5 + from / records.length / 2;
    }
    const newer = before && standingRace(before.race, race) === race && !sameSetUp(before.race, race);
    const link = await findHubLink(this.#db, race.id);
    if (added > 0 && link && link.role !== 'observer') {
      await changeHubLink(this.#db, race.id, { bringPulled: true });
      this.#onBrought();
    }
    // At a hub its set-up counts.
    this.#taken = { race, records: records.length, added, conflicts, newerSetUp: newer && !link ? race : null };
  }

  /** Takes the newer set-up that the files brought. */
  async takeNewerSetUp(): Promise<void> {
    const taken = this.#taken;
    if (!taken?.newerSetUp) return;
    await takeSetUp(this.#db, taken.newerSetUp, browserSurroundings.now());
    this.#taken = { ...taken, newerSetUp: null };
  }
}
