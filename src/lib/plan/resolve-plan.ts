import { compareCodePoints } from '../records/code-point-order.ts';
import { defaultPlaces } from '../race/early-and-late.ts';
import type { SamplingRule } from '../race/race.ts';
import type { ShiftAssumption } from './change-cells.ts';
import type { GivenPlan } from './plan-schema.ts';

/** A start by itself: in seconds after the gun, and how long until its last runner crosses the line. */
export interface Wave {
  readonly share: number;
  readonly at: number;
  readonly line: number;
}

/** Who watches at a checkpoint, and how well. */
export interface WatchAssumption {
  readonly observers: number;
  /** Seconds that an observer is busy with one runner. */
  readonly secondsEach: number;
  readonly bibRead: number;
  readonly feetSeen: number;
  readonly walking: number;
}

export interface PlannedCheckpoint extends WatchAssumption {
  readonly name: string;
  readonly km: number;
}

/** A plan in which nothing is left out. */
export interface Plan {
  readonly starters: number;
  readonly km: number;
  readonly field: {
    /** `null` with last year's results, which say it. */
    readonly median: number | null;
    readonly spread: number | null;
    readonly clock: 'gun' | 'net';
    readonly finishShare: number;
    readonly slowing: number;
    readonly waves: readonly Wave[];
  };
  /** By km, ties by name. */
  readonly checkpoints: readonly PlannedCheckpoint[];
  readonly early: string;
  readonly late: string;
  readonly arrangement: 'turns' | 'split';
  readonly pack: number;
  readonly rule: SamplingRule | null;
  readonly aim: 'shift' | 'share';
  readonly keep: number;
  readonly level: number;
  readonly power: number;
  readonly shift: ShiftAssumption;
  readonly classes: { readonly early: readonly number[]; readonly late: readonly number[] } | null;
  readonly quarterRearfoot: readonly number[] | null;
  readonly agreement: {
    readonly shares: readonly number[];
    readonly kappa: number;
    readonly width: number;
    readonly feetTogether: number;
  };
  readonly validation: {
    readonly sensitivity: number;
    readonly specificity: number;
    readonly secondsPerClip: number;
    readonly halfWidth: number;
  };
}

/** Median of the 8,636 net times of data set TenMileRace (R package mosaicData), seconds over ten miles. */
const TEN_MILE_MEDIAN = 5555;
const TEN_MILES_KM = 16.09344;

/** Riegel's power law (1981, from memory): a distance b times as long takes b^1.06 times as long. */
export function medianFor(km: number): number {
  return TEN_MILE_MEDIAN * (km / TEN_MILES_KM) ** 1.06;
}

/** Defaults that are the same for every race. Where each comes from: `assumption-sources.ts`. */
export const PLAN_DEFAULTS = {
  spread: 0.163,
  clock: 'gun',
  finishShare: 0.95,
  slowing: 0,
  /** Seconds until the last of a starter's share has crossed the line: a thousand a minute. */
  lineSecondsEach: 0.06,
  checkpoint: { observers: 1, secondsEach: 3, bibRead: 0.97, feetSeen: 0.94, walking: 0 },
  arrangement: 'turns',
  pack: 1,
  keep: 0.9,
  level: 0.95,
  power: 0.8,
  shift: { rearfootEarly: 0.79, changed: 0.11, toRearfoot: 0.84 },
  agreement: { shares: [3584, 358, 48], kappa: 0.8, width: 0.2, feetTogether: 1 },
  validation: { sensitivity: 0.95, specificity: 0.85, secondsPerClip: 60, halfWidth: 0.05 },
} as const;

/** One start, and a thousand runners a minute over the line. */
export function defaultWave(starters: number): Wave {
  return { share: 1, at: 0, line: PLAN_DEFAULTS.lineSecondsEach * starters };
}

/** Notes each default that is taken, by its path in the plan. */
class DefaultsTaken {
  readonly assumed: string[] = [];

  value<Value>(given: Value | undefined, without: Value, path: string): Value {
    if (given !== undefined) return given;
    this.assumed.push(path);
    return without;
  }

  /** The members of one object of the plan, in the order of its defaults. */
  members<Members extends object>(given: Partial<Members> | undefined, defaults: Members, path: string): Members {
    const names = Object.keys(defaults) as (keyof Members & string)[];
    const entries = names.map((name) => [name, this.value(given?.[name], defaults[name], `${path}.${name}`)]);
    return Object.fromEntries(entries) as Members;
  }
}

/**
 * Fills in the defaults, and names each that was taken, by its path in the plan.
 *
 * @param withResults last year's finish times are there: median and spread are theirs
 */
export function resolvePlan(given: GivenPlan, withResults: boolean): { plan: Plan; assumed: readonly string[] } {
  const taken = new DefaultsTaken();
  const field = resolveField(given, withResults, taken);
  const checkpoints = given.checkpoints
    .map(({ name, km, ...rest }) => ({
      ...{ name, km },
      ...taken.members<WatchAssumption>(rest, PLAN_DEFAULTS.checkpoint, `checkpoints.${name}`),
    }))
    .sort((a, b) => a.km - b.km || compareCodePoints(a.name, b.name));
  const places = defaultPlaces(checkpoints);
  const { early = checkpoints[places.early]!.name, late = checkpoints[places.late]!.name } = given;
  const plan: Plan = {
    ...{ starters: given.starters, km: given.km, field, checkpoints, early, late },
    arrangement: taken.value(given.arrangement, PLAN_DEFAULTS.arrangement, 'arrangement'),
    pack: taken.value(given.pack, PLAN_DEFAULTS.pack, 'pack'),
    rule: given.rule ?? null,
    aim: taken.value(given.aim, early === late ? 'share' : 'shift', 'aim'),
    keep: taken.value(given.keep, PLAN_DEFAULTS.keep, 'keep'),
    level: taken.value(given.level, PLAN_DEFAULTS.level, 'level'),
    power: taken.value(given.power, PLAN_DEFAULTS.power, 'power'),
    shift: taken.members<ShiftAssumption>(given.shift, PLAN_DEFAULTS.shift, 'shift'),
    classes: given.classes ?? null,
    quarterRearfoot: given.quarterRearfoot ?? null,
    agreement: taken.members<Plan['agreement']>(given.agreement, PLAN_DEFAULTS.agreement, 'agreement'),
    validation: taken.members<Plan['validation']>(given.validation, PLAN_DEFAULTS.validation, 'validation'),
  };
  return { plan, assumed: taken.assumed };
}

function resolveField({ starters, km, field = {} }: GivenPlan, withResults: boolean, taken: DefaultsTaken) {
  const ownMedian = withResults ? null : taken.value(field.median, medianFor(km), 'field.median');
  const ownSpread = withResults ? null : taken.value(field.spread, PLAN_DEFAULTS.spread, 'field.spread');
  return {
    ...{ median: ownMedian, spread: ownSpread },
    clock: taken.value(field.clock, PLAN_DEFAULTS.clock, 'field.clock'),
    finishShare: taken.value(field.finishShare, PLAN_DEFAULTS.finishShare, 'field.finishShare'),
    slowing: taken.value(field.slowing, PLAN_DEFAULTS.slowing, 'field.slowing'),
    waves: taken.value<readonly Wave[]>(field.waves, [defaultWave(starters)], 'field.waves'),
  } satisfies Plan['field'];
}
