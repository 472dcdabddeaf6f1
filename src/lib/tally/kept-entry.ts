import * as v from 'valibot';
import { FOOT_VALUES, GAITS } from '../records/foot.ts';
import { bibSchema, checkpointIdSchema, LIMITS } from '../records/record-fields.ts';
import type { TallyProgress } from './meant-step.ts';

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

const keptSchema = v.object({
  station: v.string(),
  at: v.number(),
  seq: v.number(),
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

/** What is tapped and not yet a record, with whose it is and when it was put down. */
export interface KeptEntry {
  /** Observer and places: what another observer lined up, or the same one elsewhere, is nobody's here. */
  readonly station: string;
  /** Milliseconds since 1970. */
  readonly at: number;
  /** The `seq` of the last own record then; 0 for none. */
  readonly seq: number;
  readonly progress: Pick<TallyProgress, 'entry' | 'repeat'>;
}

/** As text that outlives the page. */
export function keptEntryText({ station, at, seq, progress: { entry, repeat } }: KeptEntry): string {
  return JSON.stringify({ station, at, seq, entry, repeat });
}

/** Reads it back; nothing where the text is not from here. */
export function readKeptEntry(text: string): KeptEntry | undefined {
  try {
    const read = v.safeParse(keptSchema, JSON.parse(text));
    if (!read.success) return undefined;
    const { station, at, seq, entry, repeat } = read.output;
    return { station, at, seq, progress: { entry, repeat } as TallyProgress };
  } catch {
    return undefined;
  }
}
