import { utcInstant } from '../../records/instant.ts';
import { type Attempt, succeeded } from '../../records/attempt.ts';
import type { TokenState } from '../../wire/wire.ts';
import type { Caller } from './caller.ts';
import { type Fault, fault } from '../fault.ts';
import type { Hub } from '../hub.ts';

/** Who may speak in this race, in the order in which they joined. */
export async function listTokens(hub: Hub, caller: Caller): Promise<TokenState[]> {
  const rows = await hub.db
    .selectFrom('tokens')
    .select(['key', 'device', 'role', 'joined_at'])
    .where('race_no', '=', caller.raceNo)
    .orderBy('joined_at')
    .orderBy('key')
    .execute();
  return rows.map(({ key, device, role, joined_at }) => ({ key, device, role, joinedAt: utcInstant(joined_at) }));
}

/** Takes back the tokens of all observers' devices that joined at an instant or later; returns how many. */
export async function revokeSince(hub: Hub, caller: Caller, joinedSince: string): Promise<number> {
  const gone = await hub.adapter.write((tx) =>
    tx
      .deleteFrom('tokens')
      .where('race_no', '=', caller.raceNo)
      .where('role', '=', 'observer')
      .where('joined_at', '>=', Date.parse(joinedSince))
      .returning('key')
      .execute(),
  );
  return gone.length;
}

/** Takes a device's token back and says whose it was; what it brought stays. The device may join again with a code that is valid then. */
export async function revokeToken(hub: Hub, caller: Caller, key: string): Promise<Attempt<string, Fault>> {
  const gone = await hub.adapter.write((tx) =>
    tx
      .deleteFrom('tokens')
      .where('race_no', '=', caller.raceNo)
      .where('key', '=', key)
      .returning('device')
      .executeTakeFirst(),
  );
  return gone ? succeeded(gone.device) : fault('not-found', 'This race has no such token.');
}
