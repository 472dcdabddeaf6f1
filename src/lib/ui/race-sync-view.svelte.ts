import { createContext, untrack } from 'svelte';
import type { KerbsideDatabase } from '../store/database.ts';
import { findHubLink } from '../store/hub/hub-links.ts';
import { hearOfRecords } from '../store/records/record-news.ts';
import { hearOfSetUp } from '../store/race/set-up-news.ts';
import type { RaceSync } from '../sync/race-sync.ts';
import { NOT_LINKED, type SyncState } from '../sync/sync-state.ts';

/**
 * The exchange of the race on screen, started by the race's layout and shown by whoever wants to. Its code comes after
 * the screen is up, so that tallying starts without it.
 */
export class RaceSyncView {
  #state = $state.raw<SyncState>(NOT_LINKED);
  #sync: RaceSync | undefined;
  #hearers: readonly ((state: SyncState) => void)[] = [];
  #beginNow: (() => void) | undefined;

  get state(): SyncState {
    return this.#state;
  }

  /** Tells each state, the present one at once, until the function it returns is called. */
  hear(hearer: (state: SyncState) => void): () => void {
    this.#hearers = [...this.#hearers, hearer];
    hearer(untrack(() => this.#state));
    return () => {
      this.#hearers = this.#hearers.filter((one) => one !== hearer);
    };
  }

  #show(state: SyncState): void {
    this.#state = state;
    for (const hearer of this.#hearers) hearer(state);
  }

  /**
   * Runs the exchange of a race until the function it returns is called. Its code is fetched `afterMs` from now, or when
   * `hurry` is called.
   */
  run(db: KerbsideDatabase, raceId: string, afterMs: number): () => void {
    const ends: (() => void)[] = [];
    let ended = false;
    const begin = async () => {
      this.#beginNow = undefined;
      clearTimeout(beginning);
      const [{ RaceSync }, { exchangeStore }, { browserSurroundings }] = await Promise.all([
        import('../sync/race-sync.ts'),
        import('../sync/exchange-store.ts'),
        import('./browser-surroundings.ts'),
      ]);
      if (ended) return;
      const sync = new RaceSync(exchangeStore(db, raceId, browserSurroundings), browserSurroundings);
      this.#sync = sync;
      const seen = () => sync.setVisible(document.visibilityState === 'visible');
      const online = () => sync.networkBack();
      document.addEventListener('visibilitychange', seen);
      window.addEventListener('online', online);
      ends.push(
        // Until it has looked for the link itself, what the store said of it stands.
        sync.subscribe((state) => {
          if (state !== NOT_LINKED) this.#show(state);
        }),
        hearOfRecords(raceId, () => sync.recordsChanged()),
        hearOfSetUp(raceId, () => sync.setUpChanged()),
        () => document.removeEventListener('visibilitychange', seen),
        () => window.removeEventListener('online', online),
        () => sync.stop(),
      );
      seen();
      sync.start();
    };
    // Without its code (offline and not in the cache) tallying goes on; the next page load tries again.
    this.#beginNow = () => void begin().catch(() => undefined);
    const beginning = setTimeout(this.#beginNow, afterMs);
    void this.#readLink(db, raceId, () => ended).catch(() => undefined);
    return () => {
      ended = true;
      clearTimeout(beginning);
      this.#beginNow = undefined;
      for (const end of ends) end();
      this.#sync = undefined;
      this.#show(NOT_LINKED);
    };
  }

  /** Begins at once what was to begin later. */
  hurry(): void {
    this.#beginNow?.();
  }

  /** Says who this device is before the exchange does: no screen takes it for one that has joined no hub. */
  async #readLink(db: KerbsideDatabase, raceId: string, ended: () => boolean): Promise<void> {
    const link = await findHubLink(db, raceId);
    if (!link || ended() || this.#state !== NOT_LINKED) return;
    const { role, refused = [], lastContact = null, offsetMs = null } = link;
    this.#show({ ...NOT_LINKED, role, refused, lastContact, offsetMs });
  }

  sendNow(): void {
    this.#sync?.sendNow();
  }

  linkChanged(): void {
    this.#sync?.linkChanged();
  }

  choose(...choice: Parameters<RaceSync['choose']>): void {
    this.#sync?.choose(...choice);
  }
}

const [get, set] = createContext<RaceSyncView>();

/** Hands the exchange of the race down to its screens; called once, by the race's layout. */
export const provideRaceSync = set;

/** The exchange of the race on screen. Call while a component is set up. */
export const useRaceSync = get;
