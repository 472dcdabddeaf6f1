import * as v from 'valibot';
import { eventSchema, PLACE_FIELDS, POINT_FIELDS, sideSchema } from '../mark-fields.ts';
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

/** Says what a sighting or a mark on a clip should have said. Fields that are not there stay as they were. */
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
    foot: v.optional(sideSchema),
    event: v.optional(eventSchema),
    frame: v.optional(PLACE_FIELDS.frame),
    atUs: v.optional(PLACE_FIELDS.atUs),
    gapUs: v.optional(PLACE_FIELDS.gapUs),
    ...POINT_FIELDS,
  }),
  v.check(
    (r) => [r.frame, r.atUs, r.gapUs].every((value) => (value === undefined) === (r.frame === undefined)),
    'frame, atUs and gapUs come all three or not at all',
  ),
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
  targets: ['sighting', 'mark'],
  toObservers: true,
  tallied: false,
  subject: 'target',
} as const satisfies KindEntry;
