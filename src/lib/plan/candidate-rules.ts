import type { SamplingRule } from '../race/race.ts';

const upTo = (n: number, from = 0): number[] => Array.from({ length: n - from }, (_, i) => from + i);

/** The first digits, or pairs of digits, as a stand-in for any: `0`, `1` or `00`, `01`. Which ones is free to choose. */
const endings = (count: number, length: number): SamplingRule => ({
  kind: 'endings',
  endings: upTo(count).map((digit) => String(digit).padStart(length, '0')),
});

/**
 * The rules that are weighed against each other: everyone; bibs by nine to one of ten last digits; by five and two of a
 * hundred; every 2nd to 10th; five minutes of ten.
 */
export function candidateRules(): SamplingRule[] {
  return [
    { kind: 'everyone' },
    ...upTo(9).map((less) => endings(9 - less, 1)),
    ...[endings(5, 2), endings(2, 2)],
    ...upTo(11, 2).map((k): SamplingRule => ({ kind: 'every', k })),
    { kind: 'windows', onMinutes: 5, everyMinutes: 10 },
  ];
}
