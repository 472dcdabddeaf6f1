import type { DoubtFacts } from './doubt.ts';

type TwoRates = Extract<DoubtFacts, { type: 'two-rates' }>;

/** Bibs that say which clip is meant. */
const BIBS_NAMED = 3;

const rounded = (value: number) => `${Number(value.toFixed(1))}`;

/** What the doubt is, in a few words. */
export function twoRatesTitle({ said, bibs }: TwoRates): string {
  const rates = [...new Set(said.map(({ fps }) => fps))].sort((a, b) => a - b).map(rounded);
  const clip = bibs.length > 0 ? `the clip with ${bibs.slice(0, BIBS_NAMED).join(', ')}` : 'a clip';
  return `Was ${clip} recorded at ${rates.join(' or ')} frames/s?`;
}

/** What is known of it, one sentence each. */
export function twoRatesKnown({ said }: TwoRates): string[] {
  const voices = said.map(({ fps, observer }) => `${observer} says ${rounded(fps)}`).join(', ');
  return [
    `${voices}. The later one, ${rounded(said[0]!.fps)}, stands, and all the clip’s times follow it. Ask whoever filmed, and correct it on Clips.`,
  ];
}
