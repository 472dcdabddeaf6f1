import { failed, succeeded, type Attempt } from '../records/attempt.ts';
import { API } from '../wire/api-paths.ts';
import { pulledSchema } from '../wire/wire.ts';
import type { StoreFailure } from '../store/store-failure.ts';
import type { ExchangeStore } from './exchange-store.ts';
import type { HubClient, HubFailure } from './hub-client.ts';
import { asPulledText, type PulledText, readPulled } from './read-pulled.ts';

const PAGE_RECORDS = 10_000;
/** The cursor is written after so many pages, and after the last: each write is a flush to the disk. */
const PAGES_A_CURSOR = 4;

/**
 * Pulls what this device's role may see, page by page from where it stopped last. The cursor is kept after its page is
 * durable, so that an interruption repeats a few pages but never skips one. The next page is asked for and made ready while one
 * is written.
 */
export async function pullRecords(
  client: HubClient,
  store: ExchangeStore,
  onPulled: (count: number) => void = () => undefined,
): Promise<Attempt<undefined, HubFailure | StoreFailure>> {
  const page = (cursor: string | undefined) => {
    const query = new URLSearchParams({
      limit: String(PAGE_RECORDS),
      ...(cursor === undefined ? {} : { after: cursor }),
    });
    return client.call({
      path: `${API.records(store.raceId)}?${query.toString()}`,
      answer: pulledSchema,
      readText: readPulled,
    });
  };
  const keep = async ({ heads, lines }: PulledText): Promise<Attempt<unknown, StoreFailure>> => {
    if (heads.length === 0) return succeeded(undefined);
    const kept = await store.addPulled(heads, lines);
    if (kept.ok) onPulled(heads.length);
    return kept;
  };
  let known = (await store.link())?.cursor;
  let coming = page(known);
  let keeping: ReturnType<typeof keep> = Promise.resolve(succeeded(undefined));
  for (let pages = 1; ; pages += 1) {
    const pulled = await coming;
    if (!pulled.ok) {
      const kept = await keeping;
      if (!kept.ok) return kept;
      if (known === undefined || !isUnknownCursor(pulled.error)) return pulled;
      // The hub's data are not those that this cursor was given for: both sides start from the first record.
      known = undefined;
      await store.changeLink({ cursor: undefined });
      await store.requeue();
      coming = page(undefined);
      continue;
    }
    const read = 'heads' in pulled.value ? pulled.value : asPulledText(pulled.value);
    const { cursor, more } = read;
    if (more) coming = page(cursor);
    // It is made ready while the page before it is written.
    const next = keep(read);
    const before = await keeping;
    keeping = next;
    const noting = cursor !== known && (!more || pages % PAGES_A_CURSOR === 0);
    const kept = !before.ok ? before : noting || !more ? await keeping : before;
    if (!kept.ok) {
      await Promise.all([keeping, coming]);
      return failed(kept.error);
    }
    if (noting) await store.changeLink({ cursor });
    known = cursor;
    if (!more) return succeeded(undefined);
  }
}

function isUnknownCursor(failure: HubFailure): boolean {
  return failure.type === 'refused' && failure.code === 'unknown-cursor';
}
