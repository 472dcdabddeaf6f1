import type { Page } from '@playwright/test';
import type { Race, ResultRow, StartListRow } from '../../../src/lib/race/race.ts';
import type { TallyRecord } from '../../../src/lib/records/record.ts';
import { ID_BYTES, writeIdBytes } from '../../../src/lib/store/records/id-set.ts';

export interface RaceToSeed {
  race: Race;
  startList: StartListRow[];
  results: ResultRow[];
  records: readonly TallyRecord[];
  /** Whether it is marked as the invented race that shows the app; yes when nothing is said. */
  demo?: boolean;
}

const BLOCK = 1000;

/** Puts a race on the page's device as if it had been opened and its records pulled, and leaves the page on its Check screen. */
export async function seedRace(
  page: Page,
  { race, startList, results, records, demo = true }: RaceToSeed,
): Promise<void> {
  // The app itself makes its database, so that its schema is the one of the code under test.
  await page.goto(`/races/${race.id}/check`);
  await page.getByText('is not on this device').waitFor();
  const blocks = [];
  for (let from = 0; from < records.length; from += BLOCK) {
    const part = records.slice(from, from + BLOCK);
    const ids = new Uint8Array(part.length * ID_BYTES);
    part.forEach((record, i) => writeIdBytes(record.id, ids, i * ID_BYTES));
    blocks.push({ records: part, ids: [...ids] });
  }
  await page.evaluate(
    async ({ race, startList, results, blocks, pulled, demo }) => {
      const db = await new Promise<IDBDatabase>((resolve, reject) => {
        const request = indexedDB.open('kerbside');
        request.onsuccess = () => resolve(request.result);
        request.onerror = () => reject(request.error ?? new Error('no database'));
      });
      const names = ['races', 'startLists', 'results', 'blocks', 'blockIds', 'counters'];
      const transaction = db.transaction(names, 'readwrite');
      const put = (store: string, value: unknown) => transaction.objectStore(store).put(value);
      put('races', { id: race.id, race, demo, openedAt: Date.now() });
      put('startLists', { race: race.id, revision: 0, rows: startList });
      put('results', { race: race.id, revision: 0, rows: results });
      blocks.forEach(({ records, ids }, i) => {
        put('blocks', { race: race.id, block: i + 1, records, subjects: [] });
        put('blockIds', { race: race.id, block: i + 1, ids: Uint8Array.from(ids) });
      });
      put('counters', {
        ...{ race: race.id, device: crypto.randomUUID(), handedIn: [], savedSeq: 0 },
        ...{ pulled, blocks: blocks.length },
      });
      await new Promise<void>((resolve, reject) => {
        transaction.oncomplete = () => resolve();
        transaction.onabort = () => reject(transaction.error ?? new Error('seeding failed'));
      });
      db.close();
    },
    { race, startList, results, blocks, pulled: records.length, demo },
  );
  await page.reload();
}
