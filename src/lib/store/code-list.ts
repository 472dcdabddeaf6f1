import type { KerbsideDatabase } from './database.ts';

/** Where the codes that stand for a race's bibs are kept. The race's id in the key: erasing a race finds them by it. */
export const bibCodesKey = (raceId: string) => `bib-codes:${raceId}`;
/** Where the codes for the club's own runner codes are kept: one person has one code in all races. */
export const RUNNER_CODES_KEY = 'runner-codes';

/**
 * The codes that stand in this device's exports for bibs or people, kept so that a later export uses the same.
 *
 * @param extend the codes from now on, those known among them; called within the transaction
 */
export async function extendCodes(
  db: KerbsideDatabase,
  key: string,
  extend: (known: ReadonlyMap<string, string>) => Map<string, string>,
): Promise<Map<string, string>> {
  return db.transaction('rw', db.settings, async () => {
    const kept = (await db.settings.get(key))?.value;
    const known = new Map(Array.isArray(kept) ? (kept as [string, string][]) : []);
    const codes = extend(known);
    if (codes.size > known.size) await db.settings.put({ key, value: [...codes] });
    return codes;
  });
}
