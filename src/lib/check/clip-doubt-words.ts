import { FIGURE_WORDS, withUnit } from '../clips/figure-words.ts';
import { PLAUSIBLE, type LimitedFigure, type Limits } from '../clips/plausible-limits.ts';
import type { Gait } from '../records/foot.ts';
import type { Doubt, DoubtFacts, OutsideFigure } from './doubt.ts';

export type ClipDoubtFacts = Extract<DoubtFacts, { type: 'rate' | 'implausible' | 'gait' | 'frames-missing' }>;

const DOING: Readonly<Record<Gait, string>> = { run: 'running', walk: 'walking' };
/** Bibs that say which clip is meant. */
const BIBS_NAMED = 3;

const capital = (text: string) => text.charAt(0).toUpperCase() + text.slice(1);
const figureName = (name: LimitedFigure) => capital(FIGURE_WORDS[name].name);
const signed = (text: string) => text.replace('-', '−');
const rounded = (value: number) => `${Number(value.toFixed(1))}`;

/** What a doubt about a clip is, in a few words. */
export function clipDoubtTitle(bib: Doubt['bib'], facts: ClipDoubtFacts): string {
  switch (facts.type) {
    case 'rate':
      return `Was the clip with ${bibsWords(facts.bibs)} recorded at ${rounded(facts.fps)} frames/s?`;
    case 'implausible':
      return facts.outside.length === 1
        ? `${figureName(facts.outside[0]!.name)} of ${bib} is unusual`
        : `${facts.outside.length} clip figures of ${bib} are unusual`;
    case 'gait':
      return facts.gait === 'run' ? `${bib} runs, yet never leaves the ground` : `${bib} walks, yet leaves the ground`;
    case 'frames-missing':
      return `Frames are missing in ${facts.steps === 1 ? 'a step' : `${facts.steps} steps`} of ${bib}`;
  }
}

/** What is known of it, one sentence each. */
export function clipDoubtKnown(facts: ClipDoubtFacts): string[] {
  switch (facts.type) {
    case 'rate':
      return rateWords(facts);
    case 'implausible':
      return [
        ...facts.outside.map((outside) => outsideWords(outside, facts.gait)),
        'The limits are common practice. Look at the marks again on Clips; the figures keep them as they are.',
      ];
    case 'gait':
      return [
        facts.gait === 'run'
          ? `Both feet are down in each of the ${facts.of} steps that show it. Look at the marks and at the gait again on Clips.`
          : `${facts.odd} of ${facts.of} steps that show it have flight. Look at the marks and at the gait again on Clips.`,
      ];
    case 'frames-missing':
      return [
        `In ${facts.steps} of ${facts.of} steps two frames are more than 3 median gaps apart: contact or toe-off may fall between them, so these times are less certain than the others.`,
      ];
  }
}

function rateWords({ gait, ...facts }: Extract<ClipDoubtFacts, { type: 'rate' }>): string[] {
  const now = `At ${rounded(facts.fps)} frames/s the median cadence is ${rounded(facts.cadence)} steps/min`;
  const usual = `usual for ${DOING[gait]} is ${limitsWords('cadence', PLAUSIBLE[gait].cadence!)}`;
  return [
    `${now}; ${usual}. At ${rounded(facts.likelyFps)} frames/s it would be ${rounded(facts.likelyCadence)}.`,
    'Ask whoever filmed, and correct the recorded rate on Clips: all the clip’s times follow it. Until then no single time is questioned.',
  ];
}

function outsideWords({ name, limits, least, greatest, count }: OutsideFigure, gait: Gait): string {
  const [low, high] = [least, greatest].map((value) => signed(value.toFixed(FIGURE_WORDS[name].digits)));
  const seen = withUnit(name, low === high ? `${low}` : `${low} to ${high}`, ' ');
  const steps = name === 'cadence' ? '' : ` in ${count} ${count === 1 ? 'step' : 'steps'}`;
  return `${figureName(name)} is ${seen}${steps}; usual for ${DOING[gait]} is ${limitsWords(name, limits)}.`;
}

function limitsWords(name: LimitedFigure, [low, high]: Limits): string {
  return withUnit(name, `${signed(`${low}`)} to ${signed(`${high}`)}`, ' ');
}

function bibsWords(bibs: readonly string[]): string {
  const more = bibs.length - BIBS_NAMED;
  return `${bibs.slice(0, BIBS_NAMED).join(', ')}${more > 0 ? ` and ${more} more` : ''}`;
}
