import * as v from 'valibot';
import {
  eventSchema,
  fingerprintSchema,
  passageSchema,
  PLACE_FIELDS,
  POINT_FIELDS,
  pointsInPairs,
  sideSchema,
} from '../mark-fields.ts';
import { COMMON_FIELDS } from '../record-fields.ts';
import type { KindEntry } from './kind-entry.ts';

/** One event of one foot in one frame of a clip. It finds its bib through `passage`. */
const schema = v.pipe(
  v.strictObject({
    ...COMMON_FIELDS,
    kind: v.literal('mark'),
    clip: fingerprintSchema,
    passage: passageSchema,
    foot: sideSchema,
    event: eventSchema,
    ...PLACE_FIELDS,
    ...POINT_FIELDS,
    /** Hidden or blurred: kept and shown, used in no figure. */
    doubtful: v.optional(v.boolean()),
  }),
  v.check((r) => pointsInPairs(r), 'heel and toe, knee and ankle come both or none, touch with heel'),
  v.check((r) => r.event !== 'toeoff' || r.heel === undefined, 'a toeoff has no points'),
  v.check((r) => r.event === 'contact' || r.knee === undefined, 'knee and ankle belong to a contact'),
  v.check((r) => r.event === 'contact' || r.touch === undefined, 'touch belongs to a contact'),
);

export const mark = {
  number: 7,
  schema,
  leastRole: 'observer',
  targets: null,
  toObservers: true,
  tallied: false,
  subject: null,
} as const satisfies KindEntry;
