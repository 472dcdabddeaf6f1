import type { KerbsideDatabase } from '../database.ts';

/** What the hub said of one tablet. */
export interface KnownDevice {
  readonly device: string;
  /** How many of its records the hub holds. */
  readonly records: number;
  /** The greatest `seq` that the tablet has said or the hub has seen. */
  readonly lastSeq: number;
  /** Hub clock minus tablet clock in milliseconds. */
  readonly offsetMs: number | null;
}

const keyOf = (raceId: string) => `hub devices ${raceId}`;

/** Keeps what the hub knows of the tablets, for when there is no network. */
export async function keepKnownDevices(
  db: KerbsideDatabase,
  raceId: string,
  devices: readonly KnownDevice[],
): Promise<void> {
  await db.settings.put({ key: keyOf(raceId), value: devices });
}

/** What is known of the clocks and the counting of a race's tablets. */
export interface DeviceKnowledge {
  /** Hub clock minus tablet clock in whole milliseconds, by tablet; this device's own among them. */
  readonly offsetsMs: ReadonlyMap<string, number>;
  /** How far those tablets have counted of which the hub misses records. */
  readonly lastSeqs: ReadonlyMap<string, number>;
}

/** What this device last learnt of the tablets, and of its own clock. */
export async function deviceKnowledge(db: KerbsideDatabase, raceId: string): Promise<DeviceKnowledge> {
  const [setting, link, own] = await Promise.all([
    db.settings.get(keyOf(raceId)),
    db.hubLinks.get(raceId),
    db.counters.get(raceId),
  ]);
  const offsetsMs = new Map<string, number>();
  const lastSeqs = new Map<string, number>();
  for (const { device, offsetMs, lastSeq, records } of (setting?.value ?? []) as readonly KnownDevice[]) {
    if (offsetMs !== null) offsetsMs.set(device, Math.round(offsetMs));
    // What the hub has and this device has not pulled yet is under way and not missing.
    if (records < lastSeq) lastSeqs.set(device, lastSeq);
  }
  if (own && link?.offsetMs !== undefined) offsetsMs.set(own.device, Math.round(link.offsetMs));
  return { offsetsMs, lastSeqs };
}
