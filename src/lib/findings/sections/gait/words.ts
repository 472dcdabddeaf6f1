import { FIGURE_WORDS, withUnit } from '../../../clips/figure-words.ts';
import type { GaitFigure } from '../../../clips/step-figures.ts';
import {
  capital,
  count,
  counted,
  decimal,
  decimalRange,
  distance,
  levelText,
  orNone,
  pValue,
} from '../../../words/numbers.ts';
import { say, strong, type Sentence } from '../../sentences/sentences-parts.ts';
import { NOT_SETTLED, settles, type SectionWords } from '../../sentences/sentences-section.ts';
import type { CheckpointGait, GaitChange, GaitSummary } from './gait.ts';

/** A figure with its unit: `0.246 s`, `171.0 steps/min`, `14.2°`. */
export function figureWords(figure: GaitFigure, value: number | null): string {
  const number = decimal(value, FIGURE_WORDS[figure].digits);
  return value === null ? number : withUnit(figure, number);
}

/** `0.242 to 0.250`, without the unit. */
export function figureRange(figure: GaitFigure, low: number | null, high: number | null): string {
  return orNone(decimalRange(low, high, FIGURE_WORDS[figure].digits));
}

export const GAIT_CAUTION =
  'Each figure is of a few steps of a runner in front of one camera, at the speed of that moment. None of them is an instruction.';

/** What the marks measured: a sentence for each checkpoint with the interval and the runners behind it. */
export function gaitWords(
  gait: readonly CheckpointGait[] | null,
  change: GaitChange | null,
  level: number,
): SectionWords {
  const measured = gait?.filter(({ groups }) => groups.all.contact.n > 0) ?? [];
  const first = measured[0];
  if (!first) {
    return {
      lead: say`No step was marked on a clip, so nothing can be said of contact times, cadence or angles.`,
      tests: [],
      remarks: [],
    };
  }
  return {
    lead: placeSentence(first, level),
    tests: [
      ...measured
        .slice(1)
        .map((entry) => ({ question: `At ${entry.checkpoint}?`, answer: placeSentence(entry, level) })),
      ...(change
        ? [{ question: 'Early against late within the same runners?', answer: changeSentence(change, level) }]
        : []),
      ...measured.flatMap((entry) => classAnswer(entry)),
    ],
    remarks: [...measured.flatMap(reviewersRemark), say`${GAIT_CAUTION}`],
  };
}

function mean(figure: GaitFigure, { mean: value, low, high }: GaitSummary): string {
  return low === null
    ? figureWords(figure, value)
    : `${figureWords(figure, value)} (${figureRange(figure, low, high)})`;
}

function placeSentence({ checkpoint, km, groups, steps, fps }: CheckpointGait, level: number): Sentence {
  const { contact, cadence, duty } = groups.all;
  const rates = fps.least === fps.greatest ? `${fps.least}` : `${fps.least} to ${fps.greatest}`;
  const what = contact.low === null ? 'means' : `means and ${levelText(level)} intervals over runners`;
  return say`At ${checkpoint} (${distance(km)}) ${strong(counted(contact.n, 'runner'))} ${contact.n === 1 ? 'was' : 'were'} in contact for ${strong(mean('contact', contact))} at a cadence of ${strong(mean('cadence', cadence))}, duty factor ${mean('duty', duty)}: ${what}, ${counted(steps, 'step')} at ${rates} frames a second.`;
}

function changeSentence(change: GaitChange, level: number): Sentence {
  const { early, late, contact } = change;
  if (contact.n === 0) return say`No runner was measured at both ${early} and ${late}.`;
  const moves = (['contact', 'cadence'] as const).map((figure) => {
    const { difference, low, high, p } = change[figure];
    const { digits } = FIGURE_WORDS[figure];
    const sign = difference !== null && difference > 0 ? '+' : '';
    const range = low === null ? '' : ` (${decimal(low, digits)} to ${decimal(high, digits)})`;
    const verdict = p === null ? '' : settles(p) ? `, ${pValue(p)}` : `, ${NOT_SETTLED}, ${pValue(p)}`;
    return `${FIGURE_WORDS[figure].name} ${sign}${figureWords(figure, difference)}${range}${verdict}`;
  });
  return say`${counted(contact.n, 'runner')} measured at ${early} and at ${late}, late less early with ${levelText(level)} intervals: ${moves.join('; ')}.`;
}

function classAnswer({ checkpoint, byClass, groups }: CheckpointGait): SectionWords['tests'] {
  const { contact, cadence } = byClass;
  if (contact.p === null && cadence.p === null) return [];
  const verdict = (figure: 'contact' | 'cadence') =>
    `${FIGURE_WORDS[figure].name}: ${settles(byClass[figure].p) ? 'the classes differ' : NOT_SETTLED} (${pValue(byClass[figure].p)}, Kruskal–Wallis, ${counted(byClass[figure].n, 'runner')})`;
  const rearfoot = groups.rearfoot.contact;
  return [
    {
      question: `Do the classes differ at ${checkpoint}?`,
      answer: say`${capital(verdict('contact'))}; ${verdict('cadence')}. Rearfoot ${mean('contact', rearfoot)} in contact, ${count(rearfoot.n)} of them.`,
    },
  ];
}

function reviewersRemark({ checkpoint, repeat }: CheckpointGait): Sentence[] {
  const { contactFrame, toeoffFrame } = repeat;
  if (contactFrame.n === 0) return [];
  return [
    say`At ${checkpoint} two reviewers marked ${counted(repeat.steps, 'same step')}: their contacts lie ${figureFrames(contactFrame.low, contactFrame.high)} apart (limits of agreement), their toe-offs ${figureFrames(toeoffFrame.low, toeoffFrame.high)}.`,
  ];
}

const figureFrames = (low: number | null, high: number | null) =>
  low === null ? 'a single pair' : `${decimal(low, 1)} to ${decimal(high, 1)} frames`;
