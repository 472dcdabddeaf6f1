import * as v from 'valibot';
import type { KerbsideDatabase } from './database.ts';

const raceSchema = v.object({
  chosen: v.optional(v.boolean()),
  early: v.optional(v.string()),
  late: v.optional(v.string()),
});

/** What was chosen for one race of a season: whether it is in, and the names of the two checkpoints. */
export type SeasonRaceChoice = v.InferOutput<typeof raceSchema>;

const SEASON_KEY = 'season-choices';
// The race's id in the key: erasing a race finds its settings by it.
const keyOf = (raceId: string) => `season-race:${raceId}`;

/** Keeps what was chosen for all races, for the next visit. */
export async function keepSeasonChoices(db: KerbsideDatabase, choices: object): Promise<void> {
  await db.settings.put({ key: SEASON_KEY, value: { ...choices } });
}

/** What was chosen for all races last, as it was kept; empty when nothing was. */
export async function keptSeasonChoices(db: KerbsideDatabase): Promise<object> {
  const kept: unknown = (await db.settings.get(SEASON_KEY))?.value;
  return typeof kept === 'object' && kept !== null ? kept : {};
}

export async function keepSeasonRace(db: KerbsideDatabase, raceId: string, choice: SeasonRaceChoice): Promise<void> {
  await db.settings.put({ key: keyOf(raceId), value: choice });
}

/** By race id, of those for which something was chosen. */
export async function loadSeasonRaces(
  db: KerbsideDatabase,
  raceIds: readonly string[],
): Promise<Record<string, SeasonRaceChoice>> {
  const kept = await db.settings.bulkGet(raceIds.map(keyOf));
  const read = kept.map((setting) => v.safeParse(raceSchema, setting?.value));
  return Object.fromEntries(raceIds.flatMap((id, i) => (read[i]!.success ? [[id, read[i]!.output]] : [])));
}
