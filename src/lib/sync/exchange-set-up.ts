import type * as v from 'valibot';
import { sameSetUp } from '../race/canonical-race.ts';
import { failed, succeeded, type Attempt } from '../records/attempt.ts';
import { raceSchema, type Race, type ResultRow, type StartListRow } from '../race/race.ts';
import type { Role } from '../records/roles.ts';
import { API } from '../wire/api-paths.ts';
import { listSavedSchema, resultsSchema, startListSchema } from '../wire/wire.ts';
import type { ExchangeStore, PartStore } from './exchange-store.ts';
import type { HubClient, HubFailure } from './hub-client.ts';

export type SetUpPart = 'race' | 'startlist' | 'results';

/** Both this device and the hub have changed a part of the set-up: a person has to choose. Neither is lost until then. */
export type SetUpConflict =
  | { readonly what: 'race'; readonly mine: Race; readonly theirs: Race; readonly canKeepMine: boolean }
  | {
      readonly what: 'startlist';
      readonly mine: readonly StartListRow[];
      readonly theirs: readonly StartListRow[];
      readonly canKeepMine: boolean;
    }
  | {
      readonly what: 'results';
      readonly mine: readonly ResultRow[];
      readonly theirs: readonly ResultRow[];
      readonly canKeepMine: boolean;
    };

export type Choice = 'mine' | 'theirs';

/** What a person chose for parts in conflict. */
export type Choices = Partial<Record<SetUpPart, Choice>>;

interface Part<Value> {
  readonly store: PartStore<Value>;
  readonly fetch: () => Promise<Attempt<{ readonly value: Value; readonly revision: number }, HubFailure>>;
  readonly put: (value: Value, revision: number) => Promise<Attempt<number, HubFailure>>;
  readonly same: (a: Value, b: Value) => boolean;
  readonly mayWrite: boolean;
}

type PartOutcome<Value> = Attempt<{ readonly mine: Value; readonly theirs: Value } | undefined, HubFailure>;

/**
 * Brings one part of the set-up into step with the hub. What was not changed here follows the hub. What was changed here
 * goes up if it began from the revision that the hub has; else both stay and the answer holds them, unless `choice` says
 * which stands.
 */
async function exchangePart<Value>(part: Part<Value>, choice: Choice | undefined): Promise<PartOutcome<Value>> {
  const local = await part.store.load();
  const remote = await part.fetch();
  if (!remote.ok) return remote;
  const { value: theirs, revision } = remote.value;
  if (!local.changedHere || choice === 'theirs') {
    if (local.changedHere || local.revision !== revision) await part.store.take(theirs, revision);
    return succeeded(undefined);
  }
  if (part.same(local.value, theirs)) {
    await part.store.handedIn(local.value, revision);
    return succeeded(undefined);
  }
  const inStep = local.revision === revision;
  if (!part.mayWrite || !(inStep || choice === 'mine')) return succeeded({ mine: local.value, theirs });
  const saved = await part.put(local.value, revision);
  if (saved.ok) {
    await part.store.handedIn(local.value, saved.value);
    return succeeded(undefined);
  }
  // Somebody was quicker between reading and writing: what they wrote is what has to be looked at.
  if (saved.error.type === 'refused' && saved.error.code === 'revision') return exchangePart(part, undefined);
  return saved;
}

/**
 * Brings set-up, start list and, where the role may see them, results into step with the hub.
 *
 * @returns the parts that both sides have changed
 */
export async function exchangeSetUp(
  client: HubClient,
  store: ExchangeStore,
  role: Role,
  choices: Choices = {},
): Promise<Attempt<readonly SetUpConflict[], HubFailure>> {
  const mayWrite = role === 'organiser';
  const conflicts: SetUpConflict[] = [];
  const race = await exchangePart(racePart(client, store, mayWrite), choices.race);
  if (!race.ok) return race;
  if (race.value) conflicts.push({ what: 'race', ...race.value, canKeepMine: mayWrite });
  const startlist = await exchangePart(
    listPart(client, store.startlist, API.startlist(store.raceId), startListSchema, mayWrite),
    choices.startlist,
  );
  if (!startlist.ok) return startlist;
  if (startlist.value) conflicts.push({ what: 'startlist', ...startlist.value, canKeepMine: mayWrite });
  if (role === 'observer') return succeeded(conflicts);
  const results = await exchangePart(
    listPart(client, store.results, API.results(store.raceId), resultsSchema, mayWrite),
    choices.results,
  );
  if (!results.ok) return results;
  if (results.value) conflicts.push({ what: 'results', ...results.value, canKeepMine: mayWrite });
  return succeeded(conflicts);
}

function racePart(client: HubClient, store: ExchangeStore, mayWrite: boolean): Part<Race> {
  const path = API.race(store.raceId);
  return {
    store: store.race,
    mayWrite,
    same: sameSetUp,
    async fetch() {
      const got = await client.call({ path, answer: raceSchema });
      return got.ok ? succeeded({ value: got.value, revision: got.value.revision ?? 0 }) : got;
    },
    async put(race, revision) {
      const put = await client.call({ path, method: 'PUT', body: { ...race, revision }, answer: raceSchema });
      return put.ok ? succeeded(put.value.revision ?? 0) : put;
    },
  };
}

type ListSchema<Row> = v.GenericSchema<unknown, { revision: number; rows: Row[] }>;

function listPart<Row>(
  client: HubClient,
  store: PartStore<Row[]>,
  path: string,
  schema: ListSchema<Row>,
  mayWrite: boolean,
): Part<Row[]> {
  return {
    store,
    mayWrite,
    same: (a, b) => JSON.stringify(a) === JSON.stringify(b),
    async fetch() {
      const got = await client.call({ path, answer: schema });
      if (got.ok) return succeeded({ value: got.value.rows, revision: got.value.revision });
      // Before the first list was handed in there may be none to read.
      const none = got.error.type === 'refused' && got.error.status === 404 && got.error.code === 'not-found';
      return none ? succeeded({ value: [], revision: 0 }) : failed(got.error);
    },
    async put(rows, revision) {
      const put = await client.call({ path, method: 'PUT', body: { revision, rows }, answer: listSavedSchema });
      return put.ok ? succeeded(put.value.revision) : put;
    },
  };
}
