import { newId } from '../records/new-id.ts';
import { failed, succeeded, type Attempt } from '../records/attempt.ts';
import { API } from '../wire/api-paths.ts';
import { joinedSchema, type Joined, type JoinRole } from '../wire/wire.ts';
import { storeFailure, type StoreFailure } from '../store/store-failure.ts';
import { HubClient, type HubFailure } from './hub-client.ts';
import { retryDelayMs } from './retry-delay.ts';
import type { Surroundings } from './surroundings.ts';
import type { LinkStore } from './link-store.ts';

export interface JoinedRace {
  readonly raceId: string;
  readonly role: JoinRole;
}

const TRIES = 3;

/**
 * Lets this device into the race whose join code is given, keeps the set-up and the token, and lets every own record wait
 * for the hub again. Nothing on the device changes when it fails.
 *
 * @param raceId the race whose screen the code was typed on, if any: most likely it is the one to be joined
 */
export async function joinRace(
  store: LinkStore,
  surroundings: Surroundings,
  code: string,
  raceId?: string,
): Promise<Attempt<JoinedRace, HubFailure | StoreFailure>> {
  try {
    const likely = raceId ?? (await store.latestRaceId());
    const device = likely ? await store.ownDevice(likely) : newId(surroundings.now(), surroundings.randomBytes);
    const asked = await askToJoin(surroundings, { code, device }, likely && (await store.ownToken(likely)));
    if (!asked.ok) return asked;
    const name = await store.adoptDevice(asked.value.race.id, device);
    const joined = name === device ? asked : await joinUnder(store, surroundings, { code, device: name }, asked.value);
    if (!joined.ok) return joined;
    const { race, role, token } = joined.value;
    if (!(await store.race(race.id))?.changedHere) await store.takeSetUp(race);
    await store.requeue(race.id);
    await store.saveLink({ race: race.id, role, token });
    return succeeded({ raceId: race.id, role });
  } catch (error) {
    return failed(storeFailure(error));
  }
}

interface Asking {
  readonly code: string;
  readonly device: string;
  /** The token this device has made or got before; else one is made. */
  readonly token?: string;
}

/**
 * Joins once more under the name that this device's records of the race carry: which race the code is for was known only
 * after joining. The hub is shown the token of the other name, and forgets that.
 */
async function joinUnder(
  store: LinkStore,
  surroundings: Surroundings,
  asking: Asking,
  before: Joined,
): Promise<Attempt<Joined, HubFailure>> {
  const token = await store.ownToken(before.race.id);
  return askToJoin(surroundings, { ...asking, ...(token ? { token } : {}) }, before.token);
}

/**
 * Asks up to three times: the device makes its token itself, so that a lost answer does no harm.
 *
 * @param shown the token that the hub gave before, if any
 */
async function askToJoin(
  surroundings: Surroundings,
  { code, device, token = newToken(surroundings) }: Asking,
  shown: string | undefined,
): Promise<Attempt<Joined, HubFailure>> {
  const client = new HubClient(surroundings, shown);
  for (let failures = 1; ; failures += 1) {
    const joined = await client.call({
      path: API.join,
      method: 'POST',
      body: { code, device, token },
      answer: joinedSchema,
    });
    if (joined.ok || joined.error.type !== 'no-network' || failures === TRIES) return joined;
    await new Promise<void>((resolve) => {
      surroundings.setTimer(retryDelayMs(failures, surroundings.random()), resolve);
    });
  }
}

/** 16 random bytes by RFC 4648, section 5, without padding. */
function newToken({ randomBytes }: Surroundings): string {
  return btoa(String.fromCharCode(...randomBytes(new Uint8Array(16))))
    .replaceAll('+', '-')
    .replaceAll('/', '_')
    .replaceAll('=', '');
}
