import type { Attempt } from '../records/attempt.ts';
import { API } from '../wire/api-paths.ts';
import { codesInUseSchema, type CodeInUse } from '../wire/wire.ts';
import type { HubClient, HubFailure } from './hub-client.ts';

/** What an observer's device asks the hub beside records and set-up. */
export const observerCalls = {
  codesInUse: (client: HubClient, race: string): Promise<Attempt<CodeInUse[], HubFailure>> =>
    client.call({ path: API.observers(race), answer: codesInUseSchema }),
};
