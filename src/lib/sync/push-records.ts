import { failed, succeeded, type Attempt } from '../records/attempt.ts';
import { utcInstant } from '../records/instant.ts';
import type { TallyRecord } from '../records/record.ts';
import { API } from '../wire/api-paths.ts';
import { MAX_PUSH_RECORDS, pushedSchema, type Pushed } from '../wire/wire.ts';
import type { ExchangeStore } from './exchange-store.ts';
import type { HubClient, HubFailure } from './hub-client.ts';

export interface RefusedByHub {
  readonly id: string;
  readonly reason: string;
}

/** Codes that blame the body, not the sender: sent in smaller pieces, the good records pass. */
const BODY_AT_FAULT = new Set([400, 413]);

/**
 * Sends the records, in pieces if the hub will not have them whole.
 *
 * @returns what the hub refused for good, record by record; a failure means that nothing may be assumed of what was not
 *   answered, and sending all of it again is right
 */
async function sendRecords(
  client: HubClient,
  raceId: string,
  records: readonly TallyRecord[],
  sender: { readonly lastSeq?: number; readonly now: number },
): Promise<Attempt<readonly RefusedByHub[], HubFailure>> {
  const { lastSeq, now } = sender;
  const sent = await client.call({
    path: API.records(raceId),
    method: 'POST',
    body: { records, sentAt: utcInstant(now), ...(lastSeq === undefined ? {} : { lastSeq }) },
    answer: pushedSchema,
  });
  if (sent.ok) return accounted(sent.value, records);
  const { error } = sent;
  if (error.type !== 'refused' || !BODY_AT_FAULT.has(error.status)) return sent;
  const [first, ...others] = records;
  if (first && others.length === 0) return succeeded([{ id: first.id, reason: `${error.code}: ${error.message}` }]);
  const middle = Math.ceil(records.length / 2);
  const left = await sendRecords(client, raceId, records.slice(0, middle), sender);
  if (!left.ok) return left;
  const right = await sendRecords(client, raceId, records.slice(middle), sender);
  return right.ok ? succeeded([...left.value, ...right.value]) : right;
}

/** An answer that does not account for every record is not trusted: nothing of it is noted as handed in. */
function accounted(answer: Pushed, records: readonly TallyRecord[]): Attempt<readonly RefusedByHub[], HubFailure> {
  const ids = new Set(records.map((record) => record.id));
  const whole = answer.accepted + answer.known + answer.rejected.length === records.length;
  if (!whole || answer.rejected.some(({ id }) => !ids.has(id))) return failed({ type: 'strange-answer', status: 200 });
  return succeeded(answer.rejected);
}

/**
 * Hands in the device's own waiting records, up to 1,000 at a time, each batch noted when it is answered: whatever
 * interrupts it, the next call goes on from there, and what was sent twice the hub knows already.
 *
 * Records that the hub refused stay waiting and are kept with their reasons; they are sent again only with `again`.
 */
export async function pushWaiting(
  client: HubClient,
  store: ExchangeStore,
  { now, again = false }: { readonly now: () => number; readonly again?: boolean },
): Promise<Attempt<undefined, HubFailure>> {
  const refused = new Map((again ? [] : ((await store.link())?.refused ?? [])).map(({ id, reason }) => [id, reason]));
  if (again) await store.changeLink({ refused: [] });
  // While one batch is noted as handed in, the next is on its way.
  let noting: Promise<void> = Promise.resolve();
  for (let afterSeq = 0; ;) {
    const batch = await store.waiting(MAX_PUSH_RECORDS, afterSeq);
    const last = batch.at(-1);
    if (!last) break;
    afterSeq = last.seq;
    const fresh = batch.filter((record) => !refused.has(record.id));
    if (fresh.length === 0) continue;
    const { lastSeq } = await store.counts();
    const sent = await sendRecords(client, store.raceId, fresh, { lastSeq, now: now() });
    await noting;
    if (!sent.ok) return sent;
    for (const { id, reason } of sent.value) refused.set(id, reason);
    if (sent.value.length > 0) {
      await store.changeLink({ refused: [...refused].map(([id, reason]) => ({ id, reason })) });
    }
    noting = store.markHandedIn(fresh.filter((record) => !refused.has(record.id)));
    // Its failure is met where it is awaited.
    noting.catch(() => undefined);
  }
  await noting;
  return succeeded(undefined);
}

/**
 * Brings every record on this device to the hub, those of other devices too, as they came from hand-off files. Only an
 * analyst or the organiser may. What the hub has already is harmless.
 *
 * @returns what the hub refused
 */
export async function bringRecords(
  client: HubClient,
  store: ExchangeStore,
  { now, onSent }: { readonly now: () => number; readonly onSent: (count: number) => void },
): Promise<Attempt<readonly RefusedByHub[], HubFailure>> {
  const refused: RefusedByHub[] = [];
  let failure: HubFailure | undefined;
  await store.eachBatch(async (records) => {
    for (let from = 0; from < records.length && !failure; from += MAX_PUSH_RECORDS) {
      const part = records.slice(from, from + MAX_PUSH_RECORDS);
      const sent = await sendRecords(client, store.raceId, part, { now: now() });
      if (sent.ok) refused.push(...sent.value);
      else failure = sent.error;
      if (sent.ok) onSent(part.length);
    }
  });
  return failure ? failed(failure) : succeeded(refused);
}
