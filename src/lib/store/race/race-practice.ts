import * as v from 'valibot';
import { FOOT_CLASSES, FOOT_VALUES } from '../../records/foot.ts';
import type { KerbsideDatabase } from '../database.ts';

const answerSchema = v.object({
  item: v.string(),
  observer: v.string(),
  keyLeft: v.picklist(FOOT_CLASSES),
  keyRight: v.picklist(FOOT_CLASSES),
  left: v.picklist(FOOT_VALUES),
  right: v.picklist(FOOT_VALUES),
});
const choiceSchema = v.variant('from', [
  v.object({ from: v.literal('device') }),
  v.object({ from: v.literal('none') }),
  v.object({ from: v.literal('file'), name: v.string(), answers: v.array(answerSchema) }),
]);

/** Which practice answers correct the shares of a race: those kept on this device, those of a file, or none. */
export type PracticeChoice = v.InferOutput<typeof choiceSchema>;

// The race's id in the key: erasing a race finds its settings by it.
const keyOf = (raceId: string) => `race-practice:${raceId}`;

/** What was chosen; the device's own answers where nothing was. */
export async function loadPracticeChoice(db: KerbsideDatabase, raceId: string): Promise<PracticeChoice> {
  const read = v.safeParse(choiceSchema, (await db.settings.get(keyOf(raceId)))?.value);
  return read.success ? read.output : { from: 'device' };
}

export async function keepPracticeChoice(db: KerbsideDatabase, raceId: string, choice: PracticeChoice): Promise<void> {
  await db.settings.put({ key: keyOf(raceId), value: choice });
}
