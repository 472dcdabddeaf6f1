import type { SamplingRule } from '../race/race.ts';
import { samplingAdvice } from '../race/sampling.ts';
import type { RehearsalScore } from './rehearsal-score.ts';
import type { Passing } from './rehearsal-script.ts';

/**
 * Which runners of a rehearsal the rule asks for. `null` with *every k-th*: who that is follows from the observer's own
 * count, and not from who passes.
 *
 * @param startedAt when the rehearsal began, milliseconds since 1970: windows go by the wall clock
 * @param timeZone IANA
 */
export function dueInRehearsal(
  rule: SamplingRule | undefined,
  startedAt: number,
  timeZone: string | undefined,
): ((passing: Passing) => boolean) | null {
  if (rule === undefined || rule.kind === 'everyone') return () => true;
  if (rule.kind === 'every') return null;
  return ({ bib, atMs }) => samplingAdvice(rule, 0, startedAt + atMs, timeZone, bib).classNext;
}

/** A rehearsal under *every k-th*: how many were due, though not who. */
export interface EveryKth {
  readonly k: number;
  /** One in `k` of all who passed, whole rounds alone. */
  readonly due: number;
  /** Runners in the observer's own count: let pass, classed or looked at in vain. */
  readonly counted: number;
}

/** How many runners *every k-th* asked for, beside the observer's own count; `null` with any other rule. */
export function everyKthInRehearsal(rule: SamplingRule | undefined, score: RehearsalScore): EveryKth | null {
  if (rule?.kind !== 'every') return null;
  const { passed, classed, partly, letPass, strangers } = score;
  return { k: rule.k, due: Math.floor(passed / rule.k), counted: classed + partly + letPass + strangers };
}
