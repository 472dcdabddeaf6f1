import type { CheckInput } from '../input/check-input.ts';
import { CheckedField } from './checked-field.ts';

/** When somebody should pass a checkpoint, by the clocks of the race. */
export interface ExpectedPassing {
  readonly bib: string;
  /** Milliseconds since 1970. */
  readonly atMs: number;
  /** How far off that usually is, seconds. */
  readonly sdSeconds: number;
}

/**
 * When each runner should pass a checkpoint: when they were tallied there, else what their other times make likely. Says
 * nothing of feet, so that whoever reviews a clip stays blind. Runners of whom nothing is known are left out.
 *
 * @param checkpoint index in the input
 */
export function expectedPassings(input: CheckInput, checkpoint: number): ExpectedPassing[] {
  const field = new CheckedField(input);
  return field.bibs.flatMap((bib, index): ExpectedPassing[] => {
    const tallied = talliedAt(field, index, checkpoint);
    if (tallied !== null) return [{ bib, atMs: tallied, sdSeconds: field.observersApartSeconds }];
    const expected = field.startGuessed ? null : field.expect(index, checkpoint);
    if (!expected) return [];
    const seconds = Math.exp(expected.mean);
    const { sdFaster, sdSlower } = expected.line;
    return [{ bib, atMs: field.startOf(index) + seconds * 1000, sdSeconds: (seconds * (sdFaster + sdSlower)) / 2 }];
  });
}

/** The first time that somebody at the kerb entered; times between two on paper and times by clip say nothing new. */
function talliedAt(field: CheckedField, bib: number, checkpoint: number): number | null {
  const times = (field.sightingsOf[bib] ?? []).flatMap((i) => {
    const sighting = field.sighting(i);
    const isTimed = sighting.method === 'live' && !sighting.timeEstimated;
    return isTimed && sighting.checkpoint === checkpoint ? [field.atMs[i]!] : [];
  });
  return times.length > 0 ? Math.min(...times) : null;
}

/** Standard deviations within which somebody is due. */
const DUE_WITHIN = 3;

/** Who is due about an instant, the likeliest first. */
export function dueAbout(passings: readonly ExpectedPassing[], ms: number, most: number): string[] {
  const off = ({ atMs, sdSeconds }: ExpectedPassing) => (ms - atMs) / 1000 / sdSeconds;
  const weight = (one: ExpectedPassing) => Math.exp(-0.5 * off(one) ** 2) / one.sdSeconds;
  return passings
    .filter((one) => Math.abs(off(one)) <= DUE_WITHIN)
    .toSorted((a, b) => weight(b) - weight(a))
    .slice(0, most)
    .map(({ bib }) => bib);
}
