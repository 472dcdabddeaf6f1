import type { DeviceState } from '../wire/wire.ts';
import type { KerbsideDatabase } from '../store/database.ts';
import { findHubLink } from '../store/hub-links.ts';
import { HubClient } from '../sync/hub-client.ts';
import { leadCalls } from '../sync/lead-calls.ts';
import { browserSurroundings } from './browser-surroundings.ts';

const keyOf = (raceId: string) => `hub devices ${raceId}`;

/**
 * Asks the hub what it knows of the tablets' clocks and counting, and keeps it for when there is no network. Observers may
 * not ask.
 *
 * @returns whether anything was learnt
 */
export async function learnHubDevices(db: KerbsideDatabase, raceId: string): Promise<boolean> {
  const link = await findHubLink(db, raceId);
  if (!link || link.role === 'observer') return false;
  const answer = await leadCalls.devices(new HubClient(browserSurroundings, link.token), raceId);
  if (!answer.ok) return false;
  await db.settings.put({ key: keyOf(raceId), value: answer.value });
  return true;
}

/** What was last learnt of the tablets: clock offsets, and how far those have counted of whom the hub misses records. */
export async function knownHubDevices(
  db: KerbsideDatabase,
  raceId: string,
): Promise<{ offsetsMs: Map<string, number>; lastSeqs: Map<string, number> }> {
  const devices = ((await db.settings.get(keyOf(raceId)))?.value ?? []) as DeviceState[];
  const offsetsMs = new Map<string, number>();
  const lastSeqs = new Map<string, number>();
  for (const { device, offsetMs, lastSeq, records } of devices) {
    if (offsetMs !== null) offsetsMs.set(device, offsetMs);
    // What the hub has and this device has not pulled yet is under way and not missing.
    if (records < lastSeq) lastSeqs.set(device, lastSeq);
  }
  return { offsetsMs, lastSeqs };
}
