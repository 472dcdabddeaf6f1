import { newId } from '../domain/new-id.ts';
import { failed, succeeded, type Outcome } from '../domain/outcome.ts';
import { API, joinedSchema, type Joined, type JoinRole } from '../domain/wire.ts';
import type { KerbsideDatabase } from '../store/database.ts';
import { findHubLink, saveHubLink } from '../store/hub-links.ts';
import { takeSetUp } from '../store/hub-set-up.ts';
import { findRace, listRaces } from '../store/races.ts';
import { adoptDevice, ownDevice, requeueRecords } from '../store/record-counters.ts';
import { storeFailure, type StoreFailure } from '../store/store-failure.ts';
import { HubClient, type HubFailure } from './hub-client.ts';
import { retryDelayMs } from './retry-delay.ts';
import type { Surroundings } from './surroundings.ts';

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
  db: KerbsideDatabase,
  surroundings: Surroundings,
  code: string,
  raceId?: string,
): Promise<Outcome<JoinedRace, HubFailure | StoreFailure>> {
  try {
    const likely = raceId ?? (await listRaces(db))[0]?.id;
    const device = likely
      ? await ownDevice(db, likely, { now: surroundings.now(), randomBytes: surroundings.randomBytes })
      : newId(surroundings.now(), surroundings.randomBytes);
    const asked = await askToJoin(db, surroundings, code, device, likely);
    if (!asked.ok) return asked;
    const name = await adoptDevice(db, asked.value.race.id, device);
    // The race was here already under another name of this device: its records carry that one.
    const joined = name === device ? asked : await askToJoin(db, surroundings, code, name, asked.value.race.id);
    if (!joined.ok) return joined;
    const { race, role, token } = joined.value;
    const stored = await findRace(db, race.id);
    if (!stored?.changedHere) await takeSetUp(db, race, surroundings.now());
    await requeueRecords(db, race.id);
    await saveHubLink(db, { race: race.id, role, token });
    return succeeded({ raceId: race.id, role });
  } catch (error) {
    return failed(storeFailure(error));
  }
}

/** Asks up to three times: the device makes its token itself, so that a lost answer does no harm. */
async function askToJoin(
  db: KerbsideDatabase,
  surroundings: Surroundings,
  code: string,
  device: string,
  raceId: string | undefined,
): Promise<Outcome<Joined, HubFailure>> {
  const shown = raceId === undefined ? undefined : (await findHubLink(db, raceId))?.token;
  const client = new HubClient(surroundings, shown);
  const token = base64url(surroundings.randomBytes(new Uint8Array(16)));
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

/** RFC 4648, section 5, without padding. */
function base64url(bytes: Uint8Array): string {
  return btoa(String.fromCharCode(...bytes))
    .replaceAll('+', '-')
    .replaceAll('/', '_')
    .replaceAll('=', '');
}
