import * as v from 'valibot';
import type { Attempt } from '../records/attempt.ts';
import {
  addressesSchema,
  codesSchema,
  devicesSchema,
  limitsSchema,
  refusedSchema,
  shutOutDoneSchema,
  tokensSchema,
  type DeviceState,
  type HeldUp,
  type HubAddresses,
  type JoinCodes,
  type JoinRole,
  type RefusedRecord,
  type TokenState,
} from '../wire/wire.ts';
import { API } from '../wire/api-paths.ts';
import type { HubClient, HubFailure } from './hub-client.ts';

type Answer<Value> = Promise<Attempt<Value, HubFailure>>;

/** What a lead asks the hub beside records and set-up. */
export const leadCalls = {
  devices: (client: HubClient, race: string): Answer<DeviceState[]> =>
    client.call({ path: API.devices(race), answer: devicesSchema }),

  codes: (client: HubClient, race: string): Answer<JoinCodes> =>
    client.call({ path: API.codes(race), answer: codesSchema }),

  /** Gives new codes for the named roles: the old ones let nobody in any more. */
  renewCodes: (client: HubClient, race: string, renew: readonly JoinRole[]): Answer<JoinCodes> =>
    client.call({ path: API.codes(race), method: 'POST', body: { renew }, answer: codesSchema }),

  addresses: (client: HubClient): Answer<HubAddresses> => client.call({ path: API.addresses, answer: addressesSchema }),

  refused: (client: HubClient, race: string): Answer<{ records: RefusedRecord[]; more: boolean }> =>
    client.call({ path: API.refused(race), answer: refusedSchema }),

  tokens: (client: HubClient, race: string): Answer<TokenState[]> =>
    client.call({ path: API.tokens(race), answer: tokensSchema }),

  revoke: (client: HubClient, race: string, key: string): Answer<unknown> =>
    client.call({ path: API.token(race, key), method: 'DELETE', answer: v.unknown() }),

  /** Shuts out all observers' devices that joined at an instant or later. */
  revokeSince: (client: HubClient, race: string, joinedSince: string): Answer<{ devices: number }> =>
    client.call({ path: API.tokens(race), method: 'DELETE', body: { joinedSince }, answer: shutOutDoneSchema }),

  heldUp: (client: HubClient, race: string): Answer<HeldUp[]> =>
    client.call({ path: API.limits(race), answer: limitsSchema }),

  /** Lifts the limits of a device, or with null those of all observers together. */
  lift: (client: HubClient, race: string, device: string | null): Answer<HeldUp[]> =>
    client.call({ path: API.limits(race), method: 'POST', body: { device }, answer: limitsSchema }),

  /** Erases everything of the race at the hub. `name` must be the race's. */
  erase: (client: HubClient, race: string, name: string): Answer<unknown> =>
    client.call({ path: API.race(race), method: 'DELETE', body: { name }, answer: v.unknown() }),
};
