import * as v from 'valibot';
import type { Race } from '../race/race.ts';
import { plannedPlaceSchema, planSchema, type GivenPlan } from './plan-schema.ts';

const { checkpoints: _places, rule: _rule, ...answers } = planSchema.entries;

/** What was changed of one checkpoint for the plan, its name aside; a km here is a trial until Set-up takes it. */
const placeSchema = v.partial(v.omit(plannedPlaceSchema, ['name']));

/** What a person said for the plan of a race, last year's times aside. The rest follows from the set-up and the defaults. */
export const saidSchema = v.object({
  answers: v.partial(v.strictObject(answers)),
  /** By the checkpoint's id. */
  places: v.record(v.string(), placeSchema),
  /** Whether the race's own rule is planned with, or the one that is best. */
  rule: v.picklist(['race', 'recommended']),
});

/** A plan as it is worked on at one device. It is kept with the race by a step of its own: `kept-plan.ts`. */
export const planDraftSchema = v.object({
  ...saidSchema.entries,
  /** Last year's finish times in seconds, rising, and the file they came from. */
  lastYear: v.nullable(
    v.strictObject({ name: v.string(), finishes: v.pipe(v.array(v.pipe(v.number(), v.gtValue(0))), v.minLength(1)) }),
  ),
});

export type PlanDraft = v.InferOutput<typeof planDraftSchema>;
export type PlaceChange = v.InferOutput<typeof placeSchema>;

/** Before anybody said anything: the race's rule where it has one that leaves runners out, else the best. */
export function firstPlan({ samplingRule }: Race): PlanDraft {
  const ruled = samplingRule !== undefined && samplingRule.kind !== 'everyone';
  return { answers: {}, places: {}, rule: ruled ? 'race' : 'recommended', lastYear: null };
}

/**
 * The plan of a race: its checkpoints and posts as Set-up has them, with what was said for the plan in place of them.
 *
 * @param listed how many are on the start list; 0 without one
 */
export function planOfRace(race: Race, listed: number, { answers, places, rule }: PlanDraft): Partial<GivenPlan> {
  const posts = race.observers ?? [];
  const starters = answers.starters ?? (listed > 0 ? listed : undefined);
  const km = answers.km ?? race.km;
  // Early and late are chosen by id: a name may change, and a checkpoint may go.
  const nameOf = (chosen: string | undefined) => race.checkpoints.find((checkpoint) => checkpoint.id === chosen)?.name;
  const { early: earlyId, late: lateId, ...said } = answers;
  const [early, late] = [nameOf(earlyId), nameOf(lateId)];
  const field = race.finishClock ? { clock: race.finishClock, ...answers.field } : answers.field;
  return {
    ...said,
    ...(early === undefined ? {} : { early }),
    ...(late === undefined ? {} : { late }),
    ...(starters === undefined ? {} : { starters }),
    ...(km === undefined ? {} : { km }),
    ...(field ? { field } : {}),
    ...(rule === 'race' && race.samplingRule ? { rule: race.samplingRule } : {}),
    checkpoints: race.checkpoints.map(({ id, name, km: at }) => {
      const posted = new Set(posts.filter(({ checkpoint }) => checkpoint === id).map(({ code }) => code)).size;
      return { name, km: at, ...(posts.length > 0 ? { observers: posted } : {}), ...places[id] };
    }),
  };
}
