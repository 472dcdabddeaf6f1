import { normalUpperQuantile } from '../stats/distributions.ts';
import { quantileType5 } from '../stats/samples/quantile-type5.ts';
import type { Plan, Wave } from './resolve-plan.ts';

const MS = 1000;
const MINUTE_MS = 60_000;

/** Who passes a checkpoint: runner 0 is the fastest by finish time. */
export interface PassingField {
  readonly runners: number;
  /** Milliseconds from the gun to the passing, whole, of each runner. */
  readonly passedMs: Float64Array;
}

/** The runners of a checkpoint counted by minute. */
export interface MinuteCounts {
  /** Minute after the gun of the first passing; `null` when nobody passes. */
  readonly firstMinute: number | null;
  readonly perMinute: Int32Array;
  /** Of each runner, counted from `firstMinute`. */
  readonly minuteOf: Int32Array;
  /** Runners of each minute by quarter of the finish times: four counts a minute, fastest quarter first. */
  readonly quarterCounts: Int32Array;
  readonly quarters: readonly number[];
}

/** Net times of 0 or less: a runner who would finish before crossing the start line. */
export interface TooLateAtTheLine {
  /** Counted from 1, fastest first. */
  readonly runner: number;
  readonly of: number;
  readonly lineSeconds: number;
  readonly finishSeconds: number;
}

/** How many runners pass at a distance: those who will not finish drop out evenly along the course. */
export function runnersPassing({ starters, km, field }: Plan, at: number): number {
  return Math.floor(starters * (1 - (1 - field.finishShare) * (at / km)) + 0.5);
}

/**
 * Everyone who passes a checkpoint.
 *
 * Runner i of n, fastest first, stands at (i − ½)/n of the field: the finish time is the log-normal quantile there, or the
 * type 5 quantile of last year's times. Waves are filled fastest first. With net time T and start delay d the checkpoint at
 * u = km/course is passed at d + T·u(1 + slowing·u)/(1 + slowing).
 *
 * @param finishes last year's finish times in seconds, rising; `null` without
 */
export function passingField(
  plan: Plan,
  at: number,
  finishes: ArrayLike<number> | null,
): { field: PassingField } | { fault: TooLateAtTheLine } {
  const { km, field } = plan;
  const n = runnersPassing(plan, at);
  const passedMs = new Float64Array(n);
  const finish = finishTimes(plan, n, finishes);
  const delays = startDelays(field.waves, n);
  const u = at / km;
  const used = (u * (1 + field.slowing * u)) / (1 + field.slowing);
  for (let i = 0; i < n; i += 1) {
    const delay = delays[i]!;
    const net = field.clock === 'gun' ? finish[i]! - delay : finish[i]!;
    if (net <= 0) return { fault: { runner: i + 1, of: n, lineSeconds: delay, finishSeconds: finish[i]! } };
    passedMs[i] = Math.floor((delay + net * used) * MS + 0.5);
  }
  return { field: { runners: n, passedMs } };
}

function finishTimes({ field }: Plan, n: number, finishes: ArrayLike<number> | null): Float64Array {
  const times = new Float64Array(n);
  for (let i = 0; i < n; i += 1) {
    const place = (i + 0.5) / n;
    times[i] =
      finishes === null
        ? field.median! * Math.exp(field.spread! * -normalUpperQuantile(place))
        : quantileType5(finishes, place)!;
  }
  return times;
}

/** Seconds after the gun at which each runner crosses the start line. */
function startDelays(waves: readonly Wave[], n: number): Float64Array {
  const delays = new Float64Array(n);
  let wave = 0;
  let upTo = waves[0]!.share;
  for (let i = 0; i < n; i += 1) {
    const place = (i + 0.5) / n;
    while (upTo <= place && wave < waves.length - 1) {
      wave += 1;
      upTo += waves[wave]!.share;
    }
    const { share, at, line } = waves[wave]!;
    delays[i] = at + (line * (place - (upTo - share))) / share;
  }
  return delays;
}

/** Quarter of the finish times of runner i of n, both counted from 0. */
export function quarterOfPlace(i: number, n: number): number {
  return Math.floor((4 * i) / n);
}

export function countByMinute({ runners, passedMs }: PassingField): MinuteCounts {
  const minuteOf = new Int32Array(runners);
  let first = Infinity;
  let last = -Infinity;
  for (let i = 0; i < runners; i += 1) {
    const minute = Math.floor(passedMs[i]! / MINUTE_MS);
    minuteOf[i] = minute;
    if (minute < first) first = minute;
    if (minute > last) last = minute;
  }
  const minutes = runners === 0 ? 0 : last - first + 1;
  const perMinute = new Int32Array(minutes);
  const quarterCounts = new Int32Array(4 * minutes);
  const quarters = [0, 0, 0, 0];
  for (let i = 0; i < runners; i += 1) {
    const minute = minuteOf[i]! - first;
    const quarter = quarterOfPlace(i, runners);
    minuteOf[i] = minute;
    perMinute[minute]! += 1;
    quarterCounts[4 * minute + quarter]! += 1;
    quarters[quarter]! += 1;
  }
  return { firstMinute: runners === 0 ? null : first, perMinute, minuteOf, quarterCounts, quarters };
}
