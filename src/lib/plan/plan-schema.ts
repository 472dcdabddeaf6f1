import * as v from 'valibot';
import { samplingRuleSchema } from '../race/race.ts';

/** A number within a range, both ends allowed. */
const number = (least: number, most: number) => v.pipe(v.number(), v.finite(), v.minValue(least), v.maxValue(most));
const share = number(0, 1);
/** A day, in seconds: nothing before, during or after a race lasts longer than a few of them. */
const DAY = 86_400;
const seconds = number(0, 10 * DAY);
const positive = v.pipe(v.number(), v.finite(), v.gtValue(0));
const between = v.pipe(
  v.number(),
  v.finite(),
  v.gtValue(0),
  v.check((x) => x < 1, 'expected less than 1'),
);
const nameSchema = v.pipe(v.string(), v.minLength(1), v.maxLength(120));

const waveSchema = v.strictObject({ share: v.pipe(positive, v.maxValue(1)), at: seconds, line: seconds });

const fieldSchema = v.strictObject({
  median: v.optional(v.pipe(positive, v.maxValue(10 * DAY))),
  spread: v.optional(number(0, 3)),
  clock: v.optional(v.picklist(['gun', 'net'])),
  finishShare: v.optional(share),
  // Below −½ the field would run backwards before the finish.
  slowing: v.optional(number(-0.5, 100)),
  waves: v.optional(
    v.pipe(
      v.array(waveSchema),
      v.minLength(1),
      v.maxLength(100),
      v.rawCheck(({ dataset, addIssue }) => {
        if (!dataset.typed) return;
        const sum = dataset.value.reduce((total, wave) => total + wave.share, 0);
        if (Math.abs(sum - 1) > 1e-9)
          addIssue({ message: `the shares add up to ${Number(sum.toFixed(6))}; expected 1` });
      }),
    ),
  ),
});

export const plannedPlaceSchema = v.strictObject({
  name: nameSchema,
  km: v.pipe(v.number(), v.finite(), v.minValue(0)),
  observers: v.optional(v.pipe(v.number(), v.integer(), v.minValue(0), v.maxValue(1000))),
  secondsEach: v.optional(number(0, 3600)),
  bibRead: v.optional(share),
  feetSeen: v.optional(share),
  walking: v.optional(share),
});

const scale = (classes: number) =>
  v.pipe(
    v.array(v.pipe(v.number(), v.finite(), v.minValue(0))),
    v.length(classes, `expected ${String(classes)} numbers`),
    v.check((shares) => shares.some((part) => part > 0), 'expected at least one number above 0'),
  );

/** Shares of runners who change, written as the literature prints them. */
const shiftSchema = v.strictObject({
  rearfootEarly: v.optional(share),
  changed: v.optional(share),
  toRearfoot: v.optional(share),
});

/** What `kerbside plan` reads, without the checks of members against each other: `read-plan.ts` makes those. */
export const planSchema = v.strictObject({
  starters: v.pipe(v.number(), v.integer(), v.minValue(1), v.maxValue(200_000)),
  km: v.pipe(positive, v.maxValue(10_000)),
  checkpoints: v.pipe(v.array(plannedPlaceSchema), v.minLength(1), v.maxLength(100)),
  field: v.optional(fieldSchema),
  arrangement: v.optional(v.picklist(['turns', 'split'])),
  pack: v.optional(number(1, 1000)),
  rule: v.optional(samplingRuleSchema),
  aim: v.optional(v.picklist(['shift', 'share'])),
  keep: v.optional(share),
  level: v.optional(between),
  power: v.optional(between),
  shift: v.optional(shiftSchema),
  classes: v.optional(v.strictObject({ early: scale(4), late: scale(4) })),
  quarterRearfoot: v.optional(v.pipe(v.array(share), v.length(4, 'expected 4 numbers, fastest quarter first'))),
  agreement: v.optional(
    v.strictObject({
      shares: v.optional(scale(3)),
      kappa: v.optional(share),
      width: v.optional(v.pipe(positive, v.maxValue(2))),
      feetTogether: v.optional(share),
    }),
  ),
  validation: v.optional(
    v.strictObject({
      sensitivity: v.optional(share),
      specificity: v.optional(share),
      secondsPerClip: v.optional(number(0, DAY)),
      halfWidth: v.optional(v.pipe(positive, v.maxValue(1))),
    }),
  ),
  early: v.optional(nameSchema),
  late: v.optional(nameSchema),
});

/** A plan as it is written down: what is left out takes its default. */
export type GivenPlan = v.InferOutput<typeof planSchema>;
