import * as v from 'valibot';
import {
  bibSchema,
  checkpointIdSchema,
  COMMON_FIELDS,
  footSchema,
  gaitSchema,
  recordIdSchema,
  WALKER_FEET,
  walkerHasNoClass,
} from '../record-fields.ts';
import type { KindEntry } from './kind-entry.ts';

/** Says what a sighting should have said. Fields that are not there stay as they were. */
const schema = v.pipe(
  v.strictObject({
    ...COMMON_FIELDS,
    kind: v.literal('correction'),
    target: recordIdSchema,
    checkpoint: v.optional(checkpointIdSchema),
    bib: v.optional(v.nullable(bibSchema)),
    gait: v.optional(gaitSchema),
    left: v.optional(footSchema),
    right: v.optional(footSchema),
  }),
  v.check(
    // No gait beside the feet is the default, `run`: files leave defaults out.
    (r) => (r.left === undefined) === (r.right === undefined) && (r.gait === undefined || r.left !== undefined),
    'gait, left and right come all three or not at all',
  ),
  v.check((r) => walkerHasNoClass(r), WALKER_FEET),
);

export const correction = {
  number: 2,
  schema,
  leastRole: 'observer',
  targets: ['sighting'],
  toObservers: true,
  tallied: false,
  subject: 'target',
} as const satisfies KindEntry;
