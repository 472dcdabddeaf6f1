import { shortDeviceName } from '../../../records/missing-records.ts';
import type { KerbsideDatabase } from '../../../store/database.ts';
import { findHubLink } from '../../../store/hub/hub-links.ts';
import { ownDevice } from '../../../store/records/record-counters.ts';
import { HubClient } from '../../../sync/hub-client.ts';
import { observerCalls } from '../../../sync/observer-calls.ts';
import type { CodeInUse } from '../../../wire/wire.ts';
import { browserSurroundings } from '../../browser-surroundings.ts';

/** Under which codes other devices tally, as the hub knows: by code, which device and when it was last heard of. */
export type CodesInUse = ReadonlyMap<string, string>;

/** Asks the hub; without one, or without an answer, nothing is known of others. */
export async function codesInUse(db: KerbsideDatabase, raceId: string): Promise<CodesInUse> {
  const link = await findHubLink(db, raceId);
  if (!link) return new Map();
  const { now, randomBytes } = browserSurroundings;
  const own = await ownDevice(db, raceId, { now: now(), randomBytes });
  const answer = await observerCalls.codesInUse(new HubClient(browserSurroundings, link.token), raceId);
  const others = (answer.ok ? answer.value : []).filter(({ device }) => device !== own);
  return new Map(others.map((one) => [one.observer, sentence(one)]));
}

const day = new Intl.DateTimeFormat('en-GB', { dateStyle: 'short', timeStyle: 'short', hourCycle: 'h23' });
const when = (instant: string) => day.format(Date.parse(instant));

function sentence({ device, since, lastContact }: CodeInUse): string {
  const joined = since ? ` since ${when(since)}` : '';
  const heard = lastContact === null ? 'known only by file' : `last heard of ${when(lastContact)}`;
  return `device ${shortDeviceName(device)}${joined}, ${heard}`;
}
