import * as v from 'valibot';
import { FOOT_VALUES, GAITS, METHODS } from './foot.ts';
import { isUtcInstant } from './instant.ts';
import { UNPRINTABLE } from './unprintable.ts';

/** Greatest lengths in characters (UTF-16 units), as the hub promises them. */
export const LIMITS = { checkpointId: 36, bib: 16, observer: 32, note: 500, name: 120, device: 64 } as const;

/** Half of a character that is written in two: databases and UTF-8 have no way to write it. */
const HALF_CHARACTER = /\p{Cs}/u;
const UUID = /^[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/;
const UUID_V7 = /^[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/;

const printable = (what: string) =>
  v.check<string, string>((text) => !UNPRINTABLE.test(text), `${what} has a control character`);
/** For what tells people or devices apart: it has to be kept exactly. */
const wholeCharacters = (what: string) =>
  v.check<string, string>((text) => !HALF_CHARACTER.test(text), `${what} has half a character`);

export const recordIdSchema = v.pipe(v.string(), v.regex(UUID_V7, 'expected a UUID version 7 in lower case'));
export const raceIdSchema = v.pipe(v.string(), v.regex(UUID, 'expected a UUID in lower case'));
export const checkpointIdSchema = v.pipe(
  v.string(),
  v.minLength(1),
  v.maxLength(LIMITS.checkpointId),
  printable('checkpoint'),
  wholeCharacters('checkpoint'),
);
/** A bib is text: `007` is not `7`. Blanks at its ends would make two runners of one. */
export const bibSchema = v.pipe(
  v.string(),
  v.minLength(1),
  v.maxLength(LIMITS.bib),
  printable('bib'),
  wholeCharacters('bib'),
  v.check((text) => text === text.trim(), 'bib has blanks at its ends'),
);
export const observerSchema = v.pipe(
  v.string(),
  v.minLength(1),
  v.maxLength(LIMITS.observer),
  printable('observer'),
  wholeCharacters('observer'),
);
export const deviceSchema = v.pipe(
  v.string(),
  v.minLength(1),
  v.maxLength(LIMITS.device),
  printable('device'),
  wholeCharacters('device'),
);
export const instantSchema = v.pipe(
  v.string(),
  v.check(isUtcInstant, 'expected an RFC 3339 instant in UTC with milliseconds, such as 2026-10-04T07:30:05.120Z'),
);
const noteSchema = v.pipe(v.string(), v.maxLength(LIMITS.note));
const footSchema = v.picklist(FOOT_VALUES);
const gaitSchema = v.picklist(GAITS);

const common = {
  id: recordIdSchema,
  race: raceIdSchema,
  observer: observerSchema,
  device: deviceSchema,
  seq: v.pipe(v.number(), v.safeInteger(), v.minValue(1)),
  madeAt: instantSchema,
  note: v.optional(noteSchema),
};

const WALKER_FEET = 'a walker has both feet unseen';
const walkerHasNoClass = (r: { gait?: string | undefined; left?: string | undefined; right?: string | undefined }) =>
  r.gait !== 'walk' || (r.left === 'unseen' && r.right === 'unseen');

/** One runner seen by one observer at one checkpoint. */
export const sightingSchema = v.pipe(
  v.strictObject({
    ...common,
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

/** Says what a sighting should have said. Fields that are not there stay as they were. */
export const correctionSchema = v.pipe(
  v.strictObject({
    ...common,
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

/** Takes any record back, another withdrawal included. */
export const withdrawalSchema = v.strictObject({ ...common, kind: v.literal('withdrawal'), target: recordIdSchema });

/** The lead settles what the observers dispute for one bib at one checkpoint. */
export const rulingSchema = v.pipe(
  v.strictObject({
    ...common,
    kind: v.literal('ruling'),
    checkpoint: checkpointIdSchema,
    bib: bibSchema,
    gait: v.optional(gaitSchema),
    left: footSchema,
    right: footSchema,
  }),
  v.check((r) => walkerHasNoClass(r), WALKER_FEET),
);

export const recordSchema = v.variant('kind', [sightingSchema, correctionSchema, withdrawalSchema, rulingSchema]);

export type Sighting = v.InferOutput<typeof sightingSchema>;
export type Correction = v.InferOutput<typeof correctionSchema>;
export type Withdrawal = v.InferOutput<typeof withdrawalSchema>;
export type Ruling = v.InferOutput<typeof rulingSchema>;
/** Written once, never changed: what a person sees is computed from the set of them. */
export type TallyRecord = Sighting | Correction | Withdrawal | Ruling;
export type RecordKind = TallyRecord['kind'];

/** The order in which a record's fields are written, the same in every file. */
export const RECORD_FIELDS = [
  'id',
  'kind',
  'race',
  'observer',
  'device',
  'seq',
  'madeAt',
  'target',
  'checkpoint',
  'bib',
  'gait',
  'left',
  'right',
  'method',
  'observedAt',
  'note',
] as const;
