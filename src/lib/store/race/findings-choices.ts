import type { KerbsideDatabase } from '../database.ts';

/** The race's id in the key: erasing a race finds it by it. */
const keyOf = (raceId: string) => `findings-choices:${raceId}`;

/** Keeps what was chosen on Findings or Club, beside what was chosen before, for Export, the report and the next visit. */
export async function keepFindingsChoices(db: KerbsideDatabase, raceId: string, choices: object): Promise<void> {
  await db.transaction('rw', db.settings, async () => {
    const kept = await keptFindingsChoices(db, raceId);
    await db.settings.put({ key: keyOf(raceId), value: { ...kept, ...choices } });
  });
}

/** What was chosen on Findings last, as it was kept; empty when nothing was. */
export async function keptFindingsChoices(db: KerbsideDatabase, raceId: string): Promise<object> {
  const kept: unknown = (await db.settings.get(keyOf(raceId)))?.value;
  return typeof kept === 'object' && kept !== null ? kept : {};
}
