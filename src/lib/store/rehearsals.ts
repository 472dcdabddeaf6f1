import * as v from 'valibot';
import type { KerbsideDatabase } from './database.ts';

/** What is kept of the rehearsal that was last on this device. Like sessions it is handed in nowhere. */
const rehearsalSchema = v.object({
  observer: v.string(),
  /** Milliseconds since 1970. */
  endedAt: v.number(),
  /** Runners whom the rule asked for, and those of them classed. */
  due: v.number(),
  classed: v.number(),
  /** By the plan's formula; `null` where nobody or everybody due was classed. */
  secondsEach: v.nullable(v.number()),
});

export type KeptRehearsal = v.InferOutput<typeof rehearsalSchema>;

const KEY = 'practice-rehearsal';

export async function loadRehearsal(db: KerbsideDatabase): Promise<KeptRehearsal | null> {
  const read = v.safeParse(rehearsalSchema, (await db.settings.get(KEY))?.value);
  return read.success ? read.output : null;
}

export async function saveRehearsal(db: KerbsideDatabase, rehearsal: KeptRehearsal): Promise<void> {
  await db.settings.put({ key: KEY, value: rehearsal });
}

export async function eraseRehearsal(db: KerbsideDatabase): Promise<void> {
  await db.settings.delete(KEY);
}
