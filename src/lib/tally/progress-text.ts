import * as v from 'valibot';
import { FOOT_VALUES, GAITS } from '../records/foot.ts';
import { bibSchema, checkpointIdSchema, LIMITS } from '../records/record-fields.ts';
import { NO_PROGRESS, type TallyProgress } from './meant-step.ts';

const footSchema = v.picklist(FOOT_VALUES);
const tapSchema = v.variant('type', [
  v.object({
    type: v.literal('feet'),
    feet: v.picklist(['left', 'both', 'right']),
    foot: footSchema,
    at: v.number(),
  }),
  v.object({ type: v.literal('walking'), at: v.number() }),
]);

const progressSchema = v.object({
  entry: v.object({
    typed: v.pipe(v.string(), v.maxLength(LIMITS.bib)),
    whole: v.boolean(),
    lined: v.array(bibSchema),
    bib: v.optional(v.nullable(bibSchema)),
    gait: v.picklist(GAITS),
    left: v.optional(footSchema),
    right: v.optional(footSchema),
    begunAt: v.optional(v.number()),
    checkpoint: v.optional(checkpointIdSchema),
  }),
  repeat: v.optional(
    v.object({
      taps: v.pipe(v.array(tapSchema), v.minLength(1)),
      ofRow: v.boolean(),
      waiting: v.array(v.object({ tap: tapSchema, repeated: v.boolean() })),
    }),
  ),
});

/** What is tapped and not yet a record, as text that outlives the page. Empty when there is nothing. */
export function progressText({ entry, repeat }: TallyProgress): string {
  const { typed, lined, bib, begunAt } = entry;
  const nothing = !repeat && !typed && !lined.length && bib === undefined && begunAt === undefined;
  return nothing ? '' : JSON.stringify({ entry, repeat });
}

/** Reads it back; nothing where the text is not from here. */
export function readProgress(text: string): TallyProgress {
  try {
    const read = v.safeParse(progressSchema, JSON.parse(text));
    return read.success ? (read.output as TallyProgress) : NO_PROGRESS;
  } catch {
    return NO_PROGRESS;
  }
}
