/** How coarsely an export with codes tells what published results tell exactly. */
export interface CoarseningStep {
  readonly id: string;
  readonly words: string;
  /** Finish times are rounded to a multiple of this many seconds. */
  readonly finishSeconds: number;
  /** Ages are given as the first year of a span of this many; `null`: left out. */
  readonly ageYears: number | null;
  readonly sex: boolean;
}

/** From the finest to the coarsest: each hides what the one before it hides, and more. */
export const COARSENING_STEPS = [
  { id: 'minute', words: 'finish to the minute, age to the year', finishSeconds: 60, ageYears: 1, sex: true },
  { id: '5-minutes', words: 'finish to 5 minutes, age to 5 years', finishSeconds: 300, ageYears: 5, sex: true },
  { id: '15-minutes', words: 'finish to 15 minutes, age to 10 years', finishSeconds: 900, ageYears: 10, sex: true },
  { id: '30-minutes', words: 'finish to 30 minutes, age to 20 years', finishSeconds: 1800, ageYears: 20, sex: true },
  { id: 'hour', words: 'finish to the hour, no age', finishSeconds: 3600, ageYears: null, sex: true },
  { id: 'no-sex', words: 'finish to the hour, no age, no sex', finishSeconds: 3600, ageYears: null, sex: false },
] as const satisfies readonly CoarseningStep[];
export type StepId = (typeof COARSENING_STEPS)[number]['id'];

export function stepOf(id: StepId): CoarseningStep {
  return COARSENING_STEPS.find((step) => step.id === id)!;
}

/** What is left out of an export with codes unless it is asked for. */
export interface KeptColumns {
  readonly team: boolean;
  /** The runner's own start. */
  readonly start: boolean;
  /** When a runner was seen at each checkpoint. */
  readonly placeTimes: boolean;
}

export const NOTHING_KEPT: KeptColumns = { team: false, start: false, placeTimes: false };

/** The nearest multiple, at least one: a finish of 0 would be a fault in the table. */
export const coarseFinish = (seconds: number, step: CoarseningStep): number =>
  Math.max(step.finishSeconds, Math.round(seconds / step.finishSeconds) * step.finishSeconds);

/** The first year of the span; `undefined` where the step leaves ages out. */
export const coarseAge = (years: number | undefined, { ageYears }: CoarseningStep): number | undefined =>
  years === undefined || ageYears === null ? undefined : Math.floor(years / ageYears) * ageYears;

const DAY_MS = 86_400_000;

/** An instant to the step of the finish times, or to its day when times at checkpoints are left out. */
export function coarseInstant(instant: string, step: CoarseningStep, { placeTimes }: KeptColumns): string {
  const stepMs = placeTimes ? step.finishSeconds * 1000 : DAY_MS;
  return new Date(Math.floor(Date.parse(instant) / stepMs) * stepMs).toISOString();
}
