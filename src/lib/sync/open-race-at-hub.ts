import { failed, succeeded, type Attempt } from '../records/attempt.ts';
import { raceSchema } from '../race/race.ts';
import { API } from '../wire/api-paths.ts';
import { openedRaceSchema } from '../wire/wire.ts';
import { storeFailure, type StoreFailure } from '../store/store-failure.ts';
import { HubClient, type HubFailure } from './hub-client.ts';
import type { Surroundings } from './surroundings.ts';
import type { LinkStore } from './link-store.ts';

/**
 * Opens a race of this device at the hub that serves the page, with the organiser key. Set-up goes up at once; start list,
 * results and records follow in the background. A race that is at the hub already is linked to this device as it is: where
 * the two differ, a person is asked.
 */
export async function openRaceAtHub(
  store: LinkStore,
  surroundings: Surroundings,
  raceId: string,
  key: string,
): Promise<Attempt<undefined, HubFailure | StoreFailure>> {
  try {
    const stored = await store.race(raceId);
    if (!stored) throw new Error(`race ${raceId} is not on this device`);
    const client = new HubClient(surroundings, key);
    const opened = await client.call({ path: API.races, method: 'POST', body: stored.race, answer: openedRaceSchema });
    const there = !opened.ok && opened.error.type === 'refused' && opened.error.code === 'race-exists';
    if (!opened.ok && !there) return opened;
    if (there) {
      const read = await client.call({ path: API.race(raceId), answer: raceSchema });
      if (!read.ok) return read;
    }
    await store.markForNewHub(raceId);
    if (opened.ok) await store.handedInSetUp(stored.race, opened.value.race.revision ?? 0);
    await store.requeue(raceId);
    // Records of other devices may have come here by file.
    await store.saveLink({ race: raceId, role: 'organiser', token: key, bringPulled: true });
    await store.saveOrganiserKey(key);
    return succeeded(undefined);
  } catch (error) {
    return failed(storeFailure(error));
  }
}
