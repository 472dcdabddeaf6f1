import * as v from 'valibot';
import { METHODS } from '../../records/foot.ts';
import { checkpointIdSchema, observerSchema } from '../../records/record-fields.ts';
import type { KerbsideDatabase } from '../database.ts';

/** Who tallies where in one race, as chosen last. */
const postSchema = v.object({
  observer: observerSchema,
  checkpoints: v.pipe(v.array(checkpointIdSchema), v.minLength(1)),
  method: v.picklist(METHODS),
  /** Runners come towards the observer: each foot is seen on the other side. */
  towards: v.boolean(),
  /**
   * How several checkpoints belong together: `laps`, one spot that runners pass again; `apart`, places between which the
   * observer moves. Posts that were kept before it was asked are laps.
   */
  places: v.optional(v.picklist(['laps', 'apart'])),
  /** Of places apart, the one where the observer is. */
  here: v.optional(checkpointIdSchema),
  /** What to add to the number tallied so that the sampling rule's count is right. */
  countShift: v.pipe(v.number(), v.integer()),
});

/** How this device is held and how it answers, the same in every race. */
const handlingSchema = v.object({
  leftHanded: v.optional(v.boolean(), false),
  vibrate: v.optional(v.boolean(), true),
  click: v.optional(v.boolean(), false),
  keys: v.optional(v.boolean(), true),
  light: v.optional(v.picklist(['auto', 'light', 'dark']), 'auto'),
});

export type TallyPost = v.InferOutput<typeof postSchema>;
export type TallyHandling = v.InferOutput<typeof handlingSchema>;

const HANDLING_KEY = 'tally-handling';
// The race's id in the key: erasing a race finds its settings by it.
const postKey = (raceId: string) => `tally-post:${raceId}`;

/** The post chosen last in this race, `undefined` when none was. */
export async function loadTallyPost(db: KerbsideDatabase, raceId: string): Promise<TallyPost | undefined> {
  const read = v.safeParse(postSchema, (await db.settings.get(postKey(raceId)))?.value);
  return read.success ? read.output : undefined;
}

export async function saveTallyPost(db: KerbsideDatabase, raceId: string, post: TallyPost): Promise<void> {
  await db.settings.put({ key: postKey(raceId), value: post });
}

/** How this device is held; the usual way when nothing was chosen. */
export async function loadTallyHandling(db: KerbsideDatabase): Promise<TallyHandling> {
  const read = v.safeParse(handlingSchema, (await db.settings.get(HANDLING_KEY))?.value ?? {});
  return read.success ? read.output : v.parse(handlingSchema, {});
}

export async function saveTallyHandling(db: KerbsideDatabase, handling: TallyHandling): Promise<void> {
  await db.settings.put({ key: HANDLING_KEY, value: handling });
}
