import * as v from 'valibot';
import type { KerbsideDatabase } from '../database.ts';
import { raceChannel } from '../race-channel.ts';
import { recordCounts } from '../records/record-counters.ts';
import { setUpChanges } from './set-up-changes.ts';

const countSchema = v.object({ open: v.pipe(v.number(), v.integer(), v.minValue(0)), basis: v.string() });
const keyOf = (raceId: string) => `check-count:${raceId}`;
const channel = raceChannel('kerbside-check-count');

/** A tablet's clock is known to the hub to some milliseconds, and wanders by as much: no reason to count again. */
const CLOCK_STEP_MS = 5_000;

/** Calls `listener` soon after open doubts were counted, on whatever page. Returns the way to stop. */
export const hearOfCheckCount = channel.hear;

/**
 * What a count of open doubts rests on, in a few reads however many records there are. While it is the same, the count is
 * right.
 */
export async function checkBasis(db: KerbsideDatabase, raceId: string): Promise<string> {
  const [{ lastSeq, pulled }, changes, link] = await Promise.all([
    recordCounts(db, raceId),
    setUpChanges(db, raceId),
    db.hubLinks.get(raceId),
  ]);
  const clock = link?.offsetMs === undefined ? null : Math.round(link.offsetMs / CLOCK_STEP_MS);
  return JSON.stringify([lastSeq, pulled, changes, clock]);
}

/** Keeps how many doubts were open. `basis` was read before anything that they were found in. */
export async function keepCheckCount(db: KerbsideDatabase, raceId: string, open: number, basis: string): Promise<void> {
  await db.settings.put({ key: keyOf(raceId), value: { open, basis } });
  channel.tell(raceId);
}

/** How many doubts are open, as counted last; `undefined` when that may no longer be right, or was never done. */
export async function openDoubts(db: KerbsideDatabase, raceId: string): Promise<number | undefined> {
  const read = v.safeParse(countSchema, (await db.settings.get(keyOf(raceId)))?.value);
  return read.success && read.output.basis === (await checkBasis(db, raceId)) ? read.output.open : undefined;
}
