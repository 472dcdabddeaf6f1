import type { SamplingAdvice } from '../../race/sampling.ts';

/** What the sampling rule says of the runner whose feet come next: to be classed, or to be let pass. */
export type DueMark = 'due' | 'not due';

/**
 * The mark in the large field, before the feet come. Where everyone is due, and in time windows, no runner is told from
 * another; *every k-th* says who is due, and by its count who is not.
 */
export function dueMark(advice: SamplingAdvice): DueMark | undefined {
  if (advice.kind === 'every') return advice.classNext ? 'due' : undefined;
  if (advice.kind !== 'endings' || advice.bib === undefined) return undefined;
  return advice.classNext ? 'due' : 'not due';
}
