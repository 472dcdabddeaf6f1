import * as v from 'valibot';
import { RUNNER_CLASSES } from '../records/foot.ts';
import type { KerbsideDatabase } from './database.ts';

/** Which runners were drawn for review on clip. A draw is only ever added: what was drawn once stays known. */
const drawSchema = v.object({
  checkpoint: v.string(),
  seed: v.pipe(v.number(), v.safeInteger()),
  /** RFC 3339. */
  drawnAt: v.string(),
  runners: v.array(v.object({ bib: v.string(), live: v.picklist(RUNNER_CLASSES) })),
});
const drawsSchema = v.array(drawSchema);

export type StoredValidationDraw = v.InferOutput<typeof drawSchema>;

// The race's id in the key: erasing a race finds its settings by it.
const drawsKey = (raceId: string) => `validation-draws:${raceId}`;

/** All draws of a race, earliest first. */
export async function loadValidationDraws(db: KerbsideDatabase, raceId: string): Promise<StoredValidationDraw[]> {
  const read = v.safeParse(drawsSchema, (await db.settings.get(drawsKey(raceId)))?.value ?? []);
  return read.success ? read.output : [];
}

/** Keeps one more draw. */
export async function addValidationDraw(
  db: KerbsideDatabase,
  raceId: string,
  draw: StoredValidationDraw,
): Promise<StoredValidationDraw[]> {
  return db.transaction('rw', db.settings, async () => {
    const draws = [...(await loadValidationDraws(db, raceId)), draw];
    await db.settings.put({ key: drawsKey(raceId), value: draws });
    return draws;
  });
}
