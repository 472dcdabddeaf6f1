import * as v from 'valibot';
import {
  bibSchema,
  checkpointIdSchema,
  COMMON_FIELDS,
  footSchema,
  gaitSchema,
  WALKER_FEET,
  walkerHasNoClass,
} from '../record-fields.ts';
import type { KindEntry } from './kind-entry.ts';

/** The lead settles what the observers dispute for one bib at one checkpoint. */
const schema = v.pipe(
  v.strictObject({
    ...COMMON_FIELDS,
    kind: v.literal('ruling'),
    checkpoint: checkpointIdSchema,
    bib: bibSchema,
    gait: v.optional(gaitSchema),
    left: footSchema,
    right: footSchema,
  }),
  v.check((r) => walkerHasNoClass(r), WALKER_FEET),
);

export const ruling = {
  number: 4,
  schema,
  leastRole: 'organiser',
  targets: null,
  toObservers: false,
  tallied: false,
  subject: ['checkpoint', 'bib'],
} as const satisfies KindEntry;
