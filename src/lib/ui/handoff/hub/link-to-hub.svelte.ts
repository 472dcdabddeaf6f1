import type { KerbsideDatabase } from '../../../store/database.ts';
import { leaveHub, loadOrganiserKey } from '../../../store/hub/hub-links.ts';
import { storeFailure, storeFailureWords } from '../../../store/store-failure.ts';
import { failureAdvice } from '../../../sync/sync-words.ts';
import { joinRace, type JoinedRace } from '../../../sync/join-race.ts';
import { openRaceAtHub } from '../../../sync/open-race-at-hub.ts';
import { linkStore, type LinkStore } from '../../../sync/link-store.ts';
import { browserSurroundings } from '../../browser-surroundings.ts';

/** Joining a race at the hub, opening one there, and leaving it. */
export class LinkToHub {
  #busy = $state(false);
  #problem = $state('');
  readonly #db: KerbsideDatabase;
  readonly #store: LinkStore;

  constructor(db: KerbsideDatabase) {
    this.#db = db;
    this.#store = linkStore(db, browserSurroundings);
  }

  get busy() {
    return this.#busy;
  }
  get problem() {
    return this.#problem;
  }

  /** The organiser key that was last used on this device. */
  knownKey(): Promise<string> {
    return loadOrganiserKey(this.#db);
  }

  /** Joins by code. Answers with the race, or nothing when it failed and `problem` says why. */
  async join(code: string, raceId?: string): Promise<JoinedRace | undefined> {
    if (code.trim() === '') {
      this.#problem = 'Type the join code that the lead shows, such as KFM-7XRA-34T.';
      return undefined;
    }
    return this.#work(async () => {
      const joined = await joinRace(this.#store, browserSurroundings, code.trim(), raceId);
      if (joined.ok) return joined.value;
      this.#problem =
        joined.error.type === 'no-network'
          ? 'The hub does not answer. Is this device in its network?'
          : failureAdvice(joined.error).replace(/ Join again with.*$/, '');
      return undefined;
    });
  }

  /** Opens the race at the hub with the organiser key. Whether it worked. */
  async open(raceId: string, key: string): Promise<boolean> {
    if (key.trim() === '') {
      this.#problem = 'Type the organiser key. The hub printed it at its first start.';
      return false;
    }
    const opened = await this.#work(async () => {
      const outcome = await openRaceAtHub(this.#store, browserSurroundings, raceId, key.trim());
      if (outcome.ok) return true;
      const { error } = outcome;
      if (error.type === 'no-network') this.#problem = 'The hub does not answer. Is it running?';
      else if (error.type === 'refused' && error.status === 401)
        this.#problem = 'The hub does not know this organiser key.';
      else this.#problem = failureAdvice(error);
      return false;
    });
    return opened ?? false;
  }

  /** Leaves the hub; what this device holds stays. Whether it worked. */
  async leave(raceId: string): Promise<boolean> {
    const left = await this.#work(async () => {
      try {
        await leaveHub(this.#db, raceId);
        return true;
      } catch (error) {
        this.#problem = storeFailureWords(storeFailure(error));
        return false;
      }
    });
    return left ?? false;
  }

  async #work<Result>(work: () => Promise<Result>): Promise<Result | undefined> {
    if (this.#busy) return undefined;
    this.#busy = true;
    this.#problem = '';
    try {
      return await work();
    } finally {
      this.#busy = false;
    }
  }
}
