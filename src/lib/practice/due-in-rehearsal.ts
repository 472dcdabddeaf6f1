import type { SamplingRule } from '../race/race.ts';
import { samplingAdvice } from '../race/sampling.ts';
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
