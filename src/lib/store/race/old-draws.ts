import * as v from 'valibot';
import { RUNNER_CLASSES } from '../../records/foot.ts';
import type { KerbsideDatabase } from '../database.ts';

/** Draws as earlier versions kept them, on one device alone; a draw is a record of its own now, and these go on reading. */
const drawSchema = v.object({
  checkpoint: v.string(),
  seed: v.pipe(v.number(), v.safeInteger()),
  /** RFC 3339. */
  drawnAt: v.string(),
  runners: v.array(v.object({ bib: v.string(), live: v.picklist(RUNNER_CLASSES) })),
});
const drawsSchema = v.array(drawSchema);

type StoredValidationDraw = v.InferOutput<typeof drawSchema>;

// The race's id in the key: erasing a race finds its settings by it.
const drawsKey = (raceId: string) => `validation-draws:${raceId}`;

/** Draws that were kept on this device before they were records, earliest first. */
export async function loadOldDraws(db: KerbsideDatabase, raceId: string): Promise<StoredValidationDraw[]> {
  const read = v.safeParse(drawsSchema, (await db.settings.get(drawsKey(raceId)))?.value ?? []);
  return read.success ? read.output : [];
}
