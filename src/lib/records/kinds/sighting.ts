import * as v from 'valibot';
import { METHODS } from '../foot.ts';
import {
  bibSchema,
  checkpointIdSchema,
  COMMON_FIELDS,
  footSchema,
  gaitSchema,
  instantSchema,
  WALKER_FEET,
  walkerHasNoClass,
} from '../record-fields.ts';
import type { KindEntry } from './kind-entry.ts';

/** One runner seen by one observer at one checkpoint. */
const schema = v.pipe(
  v.strictObject({
    ...COMMON_FIELDS,
    kind: v.literal('sighting'),
    checkpoint: checkpointIdSchema,
    bib: v.nullable(bibSchema),
    gait: v.optional(gaitSchema),
    left: footSchema,
    right: footSchema,
    method: v.picklist(METHODS),
    observedAt: instantSchema,
  }),
  v.check((r) => walkerHasNoClass(r), WALKER_FEET),
);

export const sighting = {
  number: 1,
  schema,
  leastRole: 'observer',
  targets: null,
  toObservers: true,
  tallied: true,
  subject: null,
} as const satisfies KindEntry;
