import * as v from 'valibot';
import { isUtcInstant } from '../records/instant.ts';
import {
  bibSchema,
  checkpointIdSchema,
  instantSchema,
  LIMITS,
  observerSchema,
  raceIdSchema,
} from '../records/record-fields.ts';
import { UNPRINTABLE } from '../records/unprintable.ts';

const UNPAIRED_SURROGATE = /\p{Cs}/u;
/** Names are held to the characters of bibs: a table with others in it would not be read. */
const printable = v.check<string, string>(
  (text) => !UNPRINTABLE.test(text) && !UNPAIRED_SURROGATE.test(text),
  'has a control character',
);
const nameSchema = v.pipe(v.string(), v.minLength(1), v.maxLength(LIMITS.name), printable);
const kmSchema = v.pipe(v.number(), v.finite(), v.minValue(0), v.maxValue(10_000));
const dateSchema = v.pipe(
  v.string(),
  v.check((date) => isUtcInstant(`${date}T00:00:00.000Z`), 'expected a date that exists, such as 2026-10-04'),
);

export const checkpointSchema = v.strictObject({ id: checkpointIdSchema, name: nameSchema, km: kmSchema });

/** Which edge of the course, seen in the running direction, an observer stands on. */
export const COURSE_SIDES = ['left', 'right'] as const;

/** Where one observer stands. On a lapped course one code has an entry for each checkpoint of its station. */
export const observerPostSchema = v.strictObject({
  code: observerSchema,
  checkpoint: checkpointIdSchema,
  side: v.optional(v.picklist(COURSE_SIDES)),
});

const ENDINGS_EXPECTED = 'expected 1 to 6 digits, such as 3 or 07';
/**
 * The ends of bibs whose runners are due: 1 to 20 different ones of 1 to 6 digits. None is the end of another, so that
 * each bib is due by one of them alone and the share of due runners is their sum.
 */
export const bibEndingsSchema = v.pipe(
  v.array(v.pipe(v.string(), v.regex(/^\d{1,6}$/, ENDINGS_EXPECTED))),
  v.check((endings) => endings.length >= 1 && endings.length <= 20, 'expected 1 to 20 endings'),
  v.check((endings) => new Set(endings).size === endings.length, 'an ending is there twice'),
  v.rawCheck(({ dataset, addIssue }) => {
    if (!dataset.typed) return;
    const inner = overlappingEndings(dataset.value);
    if (inner) addIssue({ message: `bibs that end in ${inner[0]} end in ${inner[1]} too; leave one of them out` });
  }),
);

/** Two endings of which the first ends in the second: a bib would be due by both. `null` where there are none. */
export function overlappingEndings(endings: readonly string[]): readonly [string, string] | null {
  for (const long of endings) {
    const short = endings.find((other) => other !== long && long.endsWith(other));
    if (short !== undefined) return [long, short];
  }
  return null;
}

/**
 * Which of the passing runners are to be classed, fixed before the race. `windows` is timed on the wall clock: the first
 * `onMinutes` of every `everyMinutes`, counted from the full hour. `endings`: those whose bib ends so, the same ones at
 * every checkpoint.
 */
export const samplingRuleSchema = v.variant('kind', [
  v.strictObject({ kind: v.literal('everyone') }),
  v.strictObject({
    kind: v.literal('every'),
    k: v.pipe(v.number(), v.integer(), v.minValue(2), v.maxValue(1000)),
  }),
  v.pipe(
    v.strictObject({
      kind: v.literal('windows'),
      onMinutes: v.pipe(v.number(), v.integer(), v.minValue(1), v.maxValue(59)),
      everyMinutes: v.pipe(v.number(), v.integer(), v.minValue(2), v.maxValue(60)),
    }),
    v.check((rule) => rule.onMinutes < rule.everyMinutes, 'expected fewer minutes to be classed than a turn has'),
  ),
  v.strictObject({ kind: v.literal('endings'), endings: bibEndingsSchema }),
]);

function isTimeZone(name: string): boolean {
  try {
    new Intl.DateTimeFormat('en', { timeZone: name });
    return true;
  } catch {
    return false;
  }
}

/** A race as it travels between devices and hub. Only `id`, `name`, `date` and `checkpoints` must be there. */
export const raceSchema = v.pipe(
  v.strictObject({
    id: raceIdSchema,
    name: nameSchema,
    date: dateSchema,
    /** Length of the course in km. */
    km: v.optional(kmSchema),
    start: v.optional(instantSchema),
    timeZone: v.optional(v.pipe(v.string(), v.maxLength(64), v.check(isTimeZone, 'expected an IANA time zone'))),
    /** Whether finish times count from the gun or from each runner's own start. */
    finishClock: v.optional(v.picklist(['gun', 'net'])),
    checkpoints: v.pipe(v.array(checkpointSchema), v.maxLength(100)),
    observers: v.optional(v.pipe(v.array(observerPostSchema), v.maxLength(500))),
    samplingRule: v.optional(samplingRuleSchema),
    /** Counts the set-up's changes at the hub. */
    revision: v.optional(v.pipe(v.number(), v.safeInteger(), v.minValue(0))),
  }),
  v.check(
    (race) => new Set(race.checkpoints.map((c) => c.id)).size === race.checkpoints.length,
    'a checkpoint id is there twice',
  ),
  v.check(
    (race) => new Set(race.checkpoints.map((c) => c.name)).size === race.checkpoints.length,
    'a checkpoint name is there twice',
  ),
  v.check(
    (race) => (race.observers ?? []).every((o) => race.checkpoints.some((c) => c.id === o.checkpoint)),
    'an observer stands at a checkpoint that the race does not have',
  ),
);

const ageSchema = v.pipe(v.number(), v.finite(), v.minValue(0), v.maxValue(130));
const textSchema = v.pipe(v.string(), v.maxLength(LIMITS.name), printable);
/** A club's own code for a person, the same in every race. Personal data: an observer never gets it. */
const runnerCodeSchema = v.pipe(v.string(), v.minLength(1), v.maxLength(LIMITS.runner));

export const startListRowSchema = v.strictObject({
  bib: bibSchema,
  runner: v.optional(runnerCodeSchema),
  name: v.optional(textSchema),
  sex: v.optional(textSchema),
  age: v.optional(ageSchema),
  team: v.optional(textSchema),
  /** The runner's own start, where the list has it. */
  start: v.optional(instantSchema),
});

export const resultRowSchema = v.strictObject({
  bib: bibSchema,
  runner: v.optional(runnerCodeSchema),
  /** Seconds from the start; not there when the runner did not finish. */
  finish: v.optional(v.pipe(v.number(), v.finite(), v.gtValue(0))),
  sex: v.optional(textSchema),
  age: v.optional(ageSchema),
  status: v.optional(textSchema),
});

export type Race = v.InferOutput<typeof raceSchema>;
export type Checkpoint = v.InferOutput<typeof checkpointSchema>;
export type ObserverPost = v.InferOutput<typeof observerPostSchema>;
export type SamplingRule = v.InferOutput<typeof samplingRuleSchema>;
export type StartListRow = v.InferOutput<typeof startListRowSchema>;
export type ResultRow = v.InferOutput<typeof resultRowSchema>;
