import type { KerbsideDatabase } from '../store/database.ts';
import { findHubLink } from '../store/hub/hub-links.ts';
import { keepKnownDevices } from '../store/hub/known-devices.ts';
import { HubClient } from '../sync/hub-client.ts';
import { leadCalls } from '../sync/lead-calls.ts';
import { browserSurroundings } from './browser-surroundings.ts';

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
  await keepKnownDevices(db, raceId, answer.value);
  return true;
}
