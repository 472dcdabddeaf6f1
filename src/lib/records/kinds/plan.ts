import * as v from 'valibot';
import { checkpointIdSchema, COMMON_FIELDS } from '../record-fields.ts';
import { UNPRINTABLE } from '../unprintable.ts';
import type { KindEntry } from './kind-entry.ts';

/** Checkpoints that a plan may have, and how long its answers may be, in characters. */
const MOST_PLACES = 100;
const LONGEST_ANSWERS = 20_000;

const runners = v.pipe(v.number(), v.finite(), v.minValue(0));

/**
 * The lead keeps a plan with the race: what was said for it, and what it expects, about. The latest one stands. Findings
 * compare it with what came.
 */
const schema = v.pipe(
  v.strictObject({
    ...COMMON_FIELDS,
    kind: v.literal('plan'),
    /** JSON: what a person said for the plan. The room that plans reads it. */
    answers: v.pipe(
      v.string(),
      v.minLength(2),
      v.maxLength(LONGEST_ANSWERS),
      v.check((text) => !UNPRINTABLE.test(text), 'answers has a control character'),
    ),
    /** Runners classed at each checkpoint. */
    expected: v.pipe(
      v.array(v.strictObject({ checkpoint: checkpointIdSchema, classified: runners })),
      v.minLength(1),
      v.maxLength(MOST_PLACES),
    ),
    /** The two checkpoints that are compared and the runners classed at both; all three missing where one is planned. */
    early: v.optional(checkpointIdSchema),
    late: v.optional(checkpointIdSchema),
    pairs: v.optional(runners),
  }),
  v.check(
    (r) => [r.early, r.late, r.pairs].every((value) => (value === undefined) === (r.early === undefined)),
    'early, late and pairs come all three or not at all',
  ),
);

export const plan = {
  number: 8,
  schema,
  leastRole: 'organiser',
  targets: null,
  toObservers: 'everyone',
  tallied: false,
  subject: ['kind'],
} as const satisfies KindEntry;
