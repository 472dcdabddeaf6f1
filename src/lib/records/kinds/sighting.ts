import * as v from 'valibot';
import { METHODS } from '../foot.ts';
import { fingerprintSchema, frameSchema, passageSchema } from '../mark-fields.ts';
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

const PASSED_FEET = 'a runner who was let pass has gait run and both feet unseen';

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
    /** The sampling rule let this runner go and nobody looked: no attempt to class. */
    passed: v.optional(v.boolean()),
    /** Keyed in from paper: `observedAt` lies between two times written on the sheet. */
    timeEstimated: v.optional(v.boolean()),
    /** Where it was seen in slow motion: the file, the passage that its marks share, the frame of the first contact. */
    clip: v.optional(fingerprintSchema),
    passage: v.optional(passageSchema),
    frame: v.optional(frameSchema),
  }),
  v.check((r) => walkerHasNoClass(r), WALKER_FEET),
  v.check(
    (r) => r.method === 'clip' || (r.clip ?? r.passage ?? r.frame) === undefined,
    'clip, passage and frame belong to a sighting from a clip',
  ),
  v.check((r) => !r.passed || (r.gait !== 'walk' && r.left === 'unseen' && r.right === 'unseen'), PASSED_FEET),
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
