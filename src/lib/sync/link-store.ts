import type { RandomBytes } from '../records/new-id.ts';
import type { Race } from '../race/race.ts';
import type { HubLink, KerbsideDatabase, StoredRace } from '../store/database.ts';
import { ownHubToken, saveHubLink, saveOrganiserKey } from '../store/hub/hub-links.ts';
import { handedInSetUp, markForNewHub, takeSetUp } from '../store/hub/hub-set-up.ts';
import { findRace, listRaces } from '../store/race/races.ts';
import { adoptDevice, ownDevice, requeueRecords } from '../store/records/record-counters.ts';

/** What linking a race to the hub needs from the device's store. Tests bring one of their own. */
export interface LinkStore {
  race(raceId: string): Promise<Pick<StoredRace, 'race' | 'changedHere'> | undefined>;
  /** The race that was opened last. */
  latestRaceId(): Promise<string | undefined>;
  /** This device's name in the race, made at the first call. */
  ownDevice(raceId: string): Promise<string>;
  /** Takes `device` for this device's name in the race, unless it has one already. Returns the name that stands. */
  adoptDevice(raceId: string, device: string): Promise<string>;
  /** The token by which the hub knows this device in a race it is linked to or has left; never the organiser key. */
  ownToken(raceId: string): Promise<string | undefined>;
  saveLink(link: HubLink): Promise<void>;
  saveOrganiserKey(key: string): Promise<void>;
  /** Keeps the hub's set-up in place of the one here. */
  takeSetUp(race: Race): Promise<void>;
  /** Notes that the hub has the set-up `sent` as `revision`. */
  handedInSetUp(sent: Race, revision: number): Promise<void>;
  /** Marks everything a lead edits as changed here and unknown to any hub. */
  markForNewHub(raceId: string): Promise<void>;
  /** Lets every own record wait for the hub again. */
  requeue(raceId: string): Promise<void>;
}

/** The device's own store. */
export function linkStore(
  db: KerbsideDatabase,
  { now, randomBytes }: { readonly now: () => number; readonly randomBytes: RandomBytes },
): LinkStore {
  return {
    race: (raceId) => findRace(db, raceId),
    latestRaceId: async () => (await listRaces(db))[0]?.id,
    ownDevice: (raceId) => ownDevice(db, raceId, { now: now(), randomBytes }),
    adoptDevice: (raceId, device) => adoptDevice(db, raceId, device),
    ownToken: (raceId) => ownHubToken(db, raceId),
    saveLink: (link) => saveHubLink(db, link),
    saveOrganiserKey: (key) => saveOrganiserKey(db, key),
    takeSetUp: (race) => takeSetUp(db, race, now()),
    handedInSetUp: (sent, revision) => handedInSetUp(db, sent, revision),
    markForNewHub: (raceId) => markForNewHub(db, raceId),
    requeue: (raceId) => requeueRecords(db, raceId),
  };
}
