import type { HubLink, KerbsideDatabase } from './database.ts';

/** This device's tie to the hub for a race, if it has one. */
export async function findHubLink(db: KerbsideDatabase, raceId: string): Promise<HubLink | undefined> {
  return db.hubLinks.get(raceId);
}

/** Ties this device to the hub; what an earlier tie has pulled and learnt of the clock goes on being known. */
export async function saveHubLink(db: KerbsideDatabase, link: HubLink): Promise<void> {
  await db.transaction('rw', db.hubLinks, async () => {
    const before = await db.hubLinks.get(link.race);
    // Another role may see other records: its cursor would skip those.
    const kept = before?.role === link.role ? before : undefined;
    await db.hubLinks.put({ ...kept, ...link });
  });
}

/** Changes parts of the tie; does nothing when it is not there (any more). */
export async function changeHubLink(
  db: KerbsideDatabase,
  raceId: string,
  change: Partial<Omit<HubLink, 'race'>>,
): Promise<void> {
  await db.transaction('rw', db.hubLinks, async () => {
    const before = await db.hubLinks.get(raceId);
    if (before) await db.hubLinks.put({ ...before, ...change });
  });
}

/** Cuts the tie. Records stay; those that wait go on waiting. */
export async function removeHubLink(db: KerbsideDatabase, raceId: string): Promise<void> {
  await db.hubLinks.delete(raceId);
}

const ORGANISER_KEY = 'hub-organiser-key';

/** The organiser key that was typed on this device for the hub that serves it. */
export async function loadOrganiserKey(db: KerbsideDatabase): Promise<string> {
  const value = (await db.settings.get(ORGANISER_KEY))?.value;
  return typeof value === 'string' ? value : '';
}

export async function saveOrganiserKey(db: KerbsideDatabase, key: string): Promise<void> {
  await db.settings.put({ key: ORGANISER_KEY, value: key });
}
