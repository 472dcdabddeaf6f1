import * as v from 'valibot';
import { RUNNER_CLASSES } from '../foot.ts';
import { bibSchema, checkpointIdSchema, COMMON_FIELDS } from '../record-fields.ts';
import type { KindEntry } from './kind-entry.ts';

/** Runners that one draw may name. */
const MOST_RUNNERS = 20_000;

/**
 * Which runners were drawn at random for review on clip at a checkpoint, in the order in which to review them, each with
 * the class that observers called live when it was made. Never changed: another draw follows it.
 */
const schema = v.pipe(
  v.strictObject({
    ...COMMON_FIELDS,
    kind: v.literal('draw'),
    checkpoint: checkpointIdSchema,
    /** With the sightings of that time it draws the same runners again. */
    seed: v.pipe(v.number(), v.safeInteger(), v.minValue(0), v.maxValue(0xffffffff)),
    bibs: v.pipe(v.array(bibSchema), v.minLength(1), v.maxLength(MOST_RUNNERS)),
    live: v.pipe(v.array(v.picklist(RUNNER_CLASSES)), v.maxLength(MOST_RUNNERS)),
  }),
  v.check((r) => r.bibs.length === r.live.length, 'bibs and live have as many entries'),
  v.check((r) => new Set(r.bibs).size === r.bibs.length, 'a bib is drawn twice'),
);

export const draw = {
  number: 9,
  schema,
  leastRole: 'analyst',
  targets: null,
  // It tells live classes of others, to which observers stay blind.
  toObservers: false,
  tallied: false,
  subject: null,
} as const satisfies KindEntry;
