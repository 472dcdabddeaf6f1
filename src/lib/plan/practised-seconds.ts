import type { SamplingRule } from '../race/race.ts';
import { fallingRoot } from '../stats/falling-root.ts';
import { classedOfDue } from './watched.ts';

/** What a rehearsal showed of one observer. */
export interface RehearsedShare {
  /** Runners whom the rule asked for, and those of them classed. */
  readonly due: number;
  readonly classed: number;
  /** Runners a minute who passed, on average, due or not. */
  readonly perMinute: number;
  /** Mean size of a pack, at least 1. */
  readonly pack: number;
  readonly rule: SamplingRule;
}

/**
 * Seconds a runner at which an observer classes just the share that was classed in a rehearsal, by the plan's own formula: a
 * service without a waiting room. Bibs were typed there, so it is no lower bound, as the time of a test is.
 *
 * @returns above 0, to a tenth; `null` where nobody or everybody due was classed: then no number follows
 */
export function practisedSeconds({ due, classed, perMinute, pack, rule }: RehearsedShare): number | null {
  if (classed <= 0 || classed >= due || perMinute <= 0) return null;
  const watching = { rule, observers: 1, pack, arrangement: 'turns' as const };
  const seconds = fallingRoot((each) => classedOfDue(perMinute, each, watching) - classed / due, 1);
  return Math.max(0.1, Math.round(seconds * 10) / 10);
}
