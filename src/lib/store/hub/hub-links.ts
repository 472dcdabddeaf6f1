import type { HubLink, KerbsideDatabase } from '../database.ts';

/** This device's link to the hub for a race, if it has one. */
export async function findHubLink(db: KerbsideDatabase, raceId: string): Promise<HubLink | undefined> {
  return db.hubLinks.get(raceId);
}

/** Links this device to the hub; what an earlier link has pulled and learnt of the clock goes on being known. */
export async function saveHubLink(db: KerbsideDatabase, link: HubLink): Promise<void> {
  await db.transaction('rw', db.hubLinks, db.settings, async () => {
    const before = await db.hubLinks.get(link.race);
    if (before && link.role === 'organiser') await keepOwnToken(db, before);
    // Another role may see other records: its cursor would skip those.
    const kept = before?.role === link.role ? before : undefined;
    await db.hubLinks.put({ ...kept, ...link });
  });
}

/** Changes parts of the link; does nothing when it is not there (any more). */
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

// The race's id in the key: erasing a race finds its settings by it.
const leftTokenKey = (raceId: string) => `left-hub-token:${raceId}`;

/** Keeps the token of a link that ends, for the day on which the device joins again. The organiser key is nobody's own. */
async function keepOwnToken(db: KerbsideDatabase, { race, role, token }: HubLink): Promise<void> {
  if (role !== 'organiser') await db.settings.put({ key: leftTokenKey(race), value: token });
}

/**
 * The token by which the hub knows this device in a race, whether it is tied or has left: a hub lets a device that it knows
 * join again only when it shows this.
 */
export async function ownHubToken(db: KerbsideDatabase, raceId: string): Promise<string | undefined> {
  const link = await findHubLink(db, raceId);
  if (link && link.role !== 'organiser') return link.token;
  const left = (await db.settings.get(leftTokenKey(raceId)))?.value;
  return typeof left === 'string' ? left : undefined;
}

/**
 * Leaves the hub: nothing is sent or asked any more. Records stay and wait. The device's token is kept for the day on which
 * it joins again; an organiser's is the key of the whole hub and is forgotten.
 */
export async function leaveHub(db: KerbsideDatabase, raceId: string): Promise<void> {
  await db.transaction('rw', db.hubLinks, db.settings, async () => {
    const link = await db.hubLinks.get(raceId);
    if (!link) return;
    await db.hubLinks.delete(raceId);
    if (link.role === 'organiser') await db.settings.delete(ORGANISER_KEY);
    await keepOwnToken(db, link);
  });
}

/** Cuts the link to a hub that has erased the race. Records stay; those that wait go on waiting. */
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
