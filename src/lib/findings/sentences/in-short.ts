import { count, counted, percent, percentRange, pointRange, points } from '../../words/numbers.ts';
import type { Findings } from '../findings.ts';
import { correctedSharesLead, correctedShiftLead } from '../sections/corrected/words.ts';
import { finishWords } from '../sections/finish/words.ts';
import { leadingP } from '../sections/shift/words.ts';
import { mayBeTheObservers } from '../sections/shift/observers-doubt.ts';
import { say, strong, type Sentence } from './sentences-parts.ts';
import { place, settles } from './sentences-section.ts';
import { LEAST_RUNNERS } from '../which-test.ts';

/** A coach's question with its answer, and the section that has the rest. */
export interface ShortAnswer {
  readonly section: 'shares' | 'shift' | 'finish' | 'agreement';
  readonly question: string;
  readonly answer: Sentence;
}

/** The findings in four answers: how many, does it change, does it go with time, can the eyes be trusted. */
export function inShort(findings: Findings, level: number, focus: readonly string[]): ShortAnswer[] {
  return [
    { section: 'shares', question: 'How many land on the heel?', answer: howMany(findings, level, focus) },
    { section: 'shift', question: 'Does it change along the way?', answer: doesItChange(findings, level) },
    { section: 'finish', question: 'Does it go with finish time?', answer: finishWords(findings, level).lead },
    { section: 'agreement', question: 'Can the eyes be trusted?', answer: eyes(findings) },
  ];
}

function howMany(findings: Findings, level: number, focus: readonly string[]): Sentence {
  const corrected = correctedSharesLead(findings, level, focus);
  if (corrected) return corrected;
  const known = findings.shares.filter(({ checkpoint, classified }) => focus.includes(checkpoint) && classified > 0);
  const [first, second] = focus.flatMap((name) => known.filter(({ checkpoint }) => checkpoint === name));
  if (!first) return say`No runner has been classified yet.`;
  const part = (entry: Findings['shares'][number]): Sentence => {
    const { count: rearfoot, share, low, high } = entry.classes.rearfoot;
    const where = place(findings, entry.checkpoint);
    if (entry.classified < LEAST_RUNNERS) {
      return say`at ${where} ${strong(`${count(rearfoot)} of ${counted(entry.classified, 'runner')}`)}`;
    }
    const range = percentRange(low, high);
    return say`at ${where} ${strong(percent(share))} of ${counted(entry.classified, 'runner')}${range === null ? '' : ` (likely ${range})`}`;
  };
  return second
    ? say`On the rearfoot, the heel first: ${part(first)}, ${part(second)}.`
    : say`On the rearfoot, the heel first: ${part(first)}.`;
}

function doesItChange(findings: Findings, level: number): Sentence {
  const { shift } = findings;
  const corrected = correctedShiftLead(findings, level);
  if (corrected) return corrected;
  if (!shift) return say`That needs runners seen at two checkpoints.`;
  const { rearfoot, paired } = shift;
  if (paired < LEAST_RUNNERS) {
    return say`${counted(paired, 'runner')} seen at both places ${paired === 1 ? 'is' : 'are'} too few to tell.`;
  }
  const range = pointRange(rearfoot.low, rearfoot.high);
  const size = rearfoot.difference ?? 0;
  const settled = settles(leadingP(rearfoot));
  const among = say`Among ${strong(counted(paired, 'runner'))} seen at both places the rearfoot share`;
  const likely = range === null ? '' : ` (likely ${range})`;
  if (!settled)
    return say`${among} moved by ${points(size)}${likely}: ${strong('the data do not settle')} whether it changes.`;
  return say`${among} ${strong(`${size > 0 ? 'rose' : 'fell'} by ${points(size)}`)}${likely}.`;
}

function eyes({ agreement, shift }: Findings): Sentence {
  const main = agreement.pairs.toSorted((a, b) => b.units - a.units)[0];
  const alike = main
    ? say`${main.a} and ${main.b} gave ${strong(percent(main.agreement))} of ${counted(main.units, 'foot', 'feet')} the same class`
    : say`No two observers classed the same runner, so their agreement is not known`;
  return shift && shift.paired > 0 && mayBeTheObservers(shift)
    ? say`${alike}. ${strong('Different people stood at the two places')}: a change between them may be the observers’.`
    : say`${alike}.`;
}
