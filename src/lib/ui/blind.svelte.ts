import { createContext } from 'svelte';
import { raceRuns } from '../race/race-runs.ts';
import type { Role } from '../records/roles.ts';
import type { KerbsideDatabase } from '../store/database.ts';
import { findHubLink } from '../store/hub/hub-links.ts';
import { findRace } from '../store/race/races.ts';

/** Whether this device keeps its observer blind: it joined as an observer's, and the race is not over. */
export class Blind {
  #holds = $state(false);

  constructor(private readonly db: KerbsideDatabase) {}

  get holds(): boolean {
    return this.#holds;
  }

  /** Looks anew when the race or the role changes; without the exchange's word the device's own link says the role. */
  follow(raceId: string, role: Role | null): void {
    void this.#look(raceId, role).catch(() => undefined);
  }

  async #look(raceId: string, role: Role | null): Promise<void> {
    const [stored, link] = await Promise.all([findRace(this.db, raceId), findHubLink(this.db, raceId)]);
    this.#holds = (role ?? link?.role) === 'observer' && stored !== undefined && raceRuns(stored.race, Date.now());
  }
}

const [get, set] = createContext<Blind>();

/** Hands it down to the race's screens; called once, by the race's layout. */
export const provideBlind = set;

/** Whether the observer at this device is to stay blind. Call while a component is set up. */
export const useBlind = get;
