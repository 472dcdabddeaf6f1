import type { Race } from '../../../src/lib/race/race.ts';
import type { HubLink } from '../../../src/lib/store/database.ts';
import type { LinkStore } from '../../../src/lib/sync/link-store.ts';

interface RaceHere {
  readonly race: Race;
  readonly changedHere: boolean;
}

/** A device's store in memory, with the answers of the real one. */
export class MemoryLinkStore implements LinkStore {
  /** The one opened last at the end. */
  readonly races = new Map<string, RaceHere>();
  /** This device's name in each race. */
  readonly names = new Map<string, string>();
  readonly links = new Map<string, HubLink>();
  /** Tokens in races whose hub this device has left. */
  readonly leftTokens = new Map<string, string>();
  /** Races whose own records wait anew. */
  readonly requeued: string[] = [];
  organiserKey = '';
  /** Fails in place of keeping anything while it is set, as a full device would. */
  full = false;
  readonly #newName: () => string;

  constructor(newName: () => string) {
    this.#newName = newName;
  }

  put(race: Race, changedHere = false): void {
    this.races.delete(race.id);
    this.races.set(race.id, { race, changedHere });
  }

  race = (raceId: string) => Promise.resolve(this.races.get(raceId));
  latestRaceId = () => Promise.resolve([...this.races.keys()].at(-1));
  ownDevice = (raceId: string) => this.adoptDevice(raceId, this.names.get(raceId) ?? this.#newName());
  adoptDevice = (raceId: string, device: string) =>
    this.#kept(() => {
      const name = this.names.get(raceId) ?? device;
      this.names.set(raceId, name);
      return name;
    });
  ownToken = (raceId: string) => {
    const link = this.links.get(raceId);
    return Promise.resolve(link && link.role !== 'organiser' ? link.token : this.leftTokens.get(raceId));
  };
  saveLink = (link: HubLink) => this.#kept(() => void this.links.set(link.race, link));
  saveOrganiserKey = (key: string) => this.#kept(() => void (this.organiserKey = key));
  takeSetUp = (race: Race) => this.#kept(() => this.put(race));
  handedInSetUp = (sent: Race, revision: number) =>
    this.#kept(() => {
      const here = this.races.get(sent.id);
      if (here) this.put({ ...here.race, revision }, here.race !== sent);
    });
  markForNewHub = (raceId: string) =>
    this.#kept(() => {
      const here = this.races.get(raceId);
      if (here) this.put(here.race, true);
    });
  requeue = (raceId: string) => this.#kept(() => void this.requeued.push(raceId));

  #kept<Value>(keep: () => Value): Promise<Value> {
    return this.full ? Promise.reject(new DOMException('full', 'QuotaExceededError')) : Promise.resolve(keep());
  }
}
