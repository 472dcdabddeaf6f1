import { Dexie, type Transaction } from 'dexie';
import type { RecordCounters, StoredRecord } from './database.ts';
import { addSeqs } from './seq-ranges.ts';

/** What version 1 kept in each row and in the counters. */
interface RowOf1 extends Omit<StoredRecord, 'tallied'> {
  waiting: 0 | 1;
}
interface CountersOf1 extends Omit<RecordCounters, 'handedIn'> {
  lastSeq: number;
  tallied: number;
  waiting: number;
}

const BATCH_SIZE = 1000;

/**
 * From version 1 to 2 of the device's database: whether the hub has a record moves from its row to the race's counters, the
 * count of sightings that stand from the counters to the last row. From then on rows are never written again.
 */
export async function rowsThatNeverChange(transaction: Transaction): Promise<void> {
  const counters = transaction.table<CountersOf1 | RecordCounters, string>('counters');
  const rows = transaction.table<RowOf1 | StoredRecord, string>('records');
  for (const old of (await counters.toArray()) as CountersOf1[]) {
    const { lastSeq: _, tallied, waiting: __, ...kept } = old;
    let handedIn: RecordCounters['handedIn'] = [];
    let last: RowOf1 | undefined;
    for (;;) {
      const batch = (await rows
        .where('[race+seq]')
        .between([old.race, last?.seq ?? 0], [old.race, Dexie.maxKey], false, true)
        .limit(BATCH_SIZE)
        .toArray()) as RowOf1[];
      if (!batch.length) break;
      handedIn = addSeqs(
        handedIn,
        batch.filter((row) => row.waiting === 0).map((row) => row.seq),
      );
      last = batch.at(-1);
    }
    await counters.put({ ...kept, handedIn });
    if (last) await rows.put({ ...last, tallied });
  }
}
